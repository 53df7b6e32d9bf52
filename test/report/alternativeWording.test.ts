import { expect, test } from 'vitest';
import type { Alternative, SeriesAlternative } from '../../src/domain/advice.ts';
import { alternativeText, seriesAlternativeText } from '../../src/report/filterWording.ts';

const alternatives: readonly Alternative[] = [
  { kind: 'nearest-leaves-outside', label: 'ND8', leavesStops: 1.2 },
  { kind: 'raise-iso', label: 'ND64', iso: 200, leavesStops: -0.2 },
  { kind: 'stop-down', label: 'ND16', fNumber: 5.6, leavesStops: 0 },
  {
    kind: 'other-frame-rate',
    label: 'ND32',
    framesPerSecond: 30_000 / 1001,
    exposureSeconds: 1 / 60,
    leavesStops: -0.1,
  },
  { kind: 'second-base-iso', label: 'ND64', iso: 800, leavesStops: -0.2 },
  { kind: 'wait-for-light', label: 'ND64', stops: 1.3 },
  { kind: 'darker-by-shutter', label: 'ND16', exposureSeconds: 1 / 100, angleDegrees: 90 },
  { kind: 'stack', labels: ['ND8', 'ND64'], stops: 9, leavesStops: 0.3 },
  { kind: 'shutter-within-tolerance', label: 'ND16', exposureSeconds: 1 / 60 },
  { kind: 'no-filter-needed' },
  { kind: 'strength-not-in-kit', stops: 5, factor: 32 },
];

test.each(alternatives)('alternativeText() has a whole sentence for $kind', (alternative) => {
  const text = alternativeText(alternative);
  expect(text).toMatch(/^[A-Z].*\.$/);
  expect(text).not.toMatch(/undefined|NaN/);
  if ('label' in alternative) expect(text).toContain(alternative.label);
});

const seriesAlternatives: readonly SeriesAlternative[] = [
  { kind: 'camera-limit', longestSeconds: 2, targetSeconds: 2.5 },
  { kind: 'average', count: 5, exposureSeconds: 0.5 },
  { kind: 'shorter-interval', intervalSeconds: 1.5 },
  { kind: 'series-stack', labels: ['ND8', 'ND64'], stops: 9 },
  { kind: 'series-strength-not-in-kit', stops: 9, factor: 512 },
];

test.each(seriesAlternatives)('seriesAlternativeText() has a whole sentence for $kind', (alternative) => {
  const text = seriesAlternativeText(alternative);
  expect(text).toMatch(/^[A-Z].*\.$/);
  expect(text).toMatch(/\d/);
  expect(text).not.toMatch(/undefined|NaN/);
});
