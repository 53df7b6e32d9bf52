import { expect, test } from 'vitest';
import type { ExposureAdvice } from '../../src/domain/advice.ts';
import { commonKit } from '../../src/domain/filterKit.ts';
import { exposureText } from '../../src/report/exposureWording.ts';

const bare: ExposureAdvice = { wantedStops: 0, steps: [], missingStops: 0 };
const nd16 = { label: 'ND16', stops: 4, source: 'notes' };

test.each<readonly [Partial<ExposureAdvice>, string]>([
  [{}, 'Nothing needs to be set otherwise.'],
  [
    {
      wantedStops: -3,
      steps: [
        { setting: 'iso', stops: -1, iso: 100 },
        { setting: 'shutter', stops: -2, exposureSeconds: 1 / 500 },
      ],
    },
    'Let in 3 stops less light: ISO 100 (−1.0 stop), 1/500 s (−2.0 stops).',
  ],
  [
    {
      steps: [
        { setting: 'iso', stops: -2, iso: 100 },
        { setting: 'shutter', stops: 2, exposureSeconds: 1 / 60 },
      ],
    },
    'Just as bright with less noise, if nothing moves fast: ISO 100 (−2.0 stops), 1/60 s (+2.0 stops).',
  ],
  [
    { wantedStops: 4, steps: [{ setting: 'filter', stops: 4 }], fitted: nd16 },
    'Let in 4 stops more light: no filter instead of the ND16.',
  ],
  [
    { wantedStops: -3, steps: [{ setting: 'filter', stops: -3 }] },
    'Let in 3 stops less light: a stronger filter (ND8 on a bare lens, ND64 in place of ND8), or exposure compensation of −3.0 on automatic.',
  ],
  [
    { wantedStops: -0.5, steps: [{ setting: 'shutter', stops: -0.5 }], coloursLost: true },
    'Let in 0.5 stops less light: a shorter shutter. Watch the histogram of each channel, not of brightness alone.',
  ],
  [
    { wantedStops: 3, steps: [{ setting: 'iso', stops: 1.5, iso: 6400 }], missingStops: 1.5 },
    'Let in 3 stops more light: ISO 6400 (+1.5 stops). 1.5 stops more cannot be set.',
  ],
  [
    {
      wantedStops: -3.8,
      steps: [{ setting: 'shutter', stops: -3.7, exposureSeconds: 1 / 8000 }],
      missingStops: -0.1,
    },
    'Let in 3.8 stops less light: 1/8000 s.',
  ],
  [
    {
      wantedStops: 2,
      steps: [
        { setting: 'shutter', stops: 2.4, exposureSeconds: 1 / 25 },
        { setting: 'aperture', stops: 2, fNumber: 1.4 },
        { setting: 'iso', stops: -2.4, iso: 160 },
      ],
    },
    'Let in 2 stops more light: 1/25 s (+2.4 stops), f/1.4 (+2.0 stops), ISO 160 (−2.4 stops).',
  ],
  [
    { shutterAtItsEnd: true, lowLightEv100: 4.9, stillSeconds: 0.5 },
    'In low light (EV 4.9) ISO has to stay up; where nothing moves, a camera that stands still can take 0.5 s at base ISO.',
  ],
])('%j', (advice, text) => {
  expect(exposureText({ ...bare, ...advice }, { kit: commonKit, kitAssumed: true })).toBe(text);
});
