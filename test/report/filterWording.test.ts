import { expect, test } from 'vitest';
import type { ReportedFilter } from '../../src/document/reportedRecording.ts';
import type { Alternative, SeriesAlternative } from '../../src/domain/advice.ts';
import { commonKit } from '../../src/domain/filterKit.ts';
import { filterInShort } from '../../src/report/carryWording.ts';
import { filterText, alternativeText } from '../../src/report/filterWording.ts';

const kit = { kit: commonKit, kitAssumed: true };

const filter: ReportedFilter = {
  fitted: { label: 'ND16', stops: 4, source: 'notes' },
  neededStops: 5,
  additionalStops: 1,
  change: 'stronger',
  pick: { label: 'ND32', stops: 5, leavesStops: 0 },
  basis: 'recorded exposure and meter',
  uncertaintyStops: 0.4,
  otherwise: [],
};

test('burnt highlights are given as the reason, with the level that the meter would then show', () => {
  const burnt = { offsetStops: -1, burntFraction: 0.05 };
  const text = (highlights: object) =>
    filterText({ ...filter, highlights: { ...burnt, ...highlights } }, kit);
  for (const part of ['1 stop under.', 'Lift the rest in the edit', 'first step'])
    expect(text({ firstStep: true })).toContain(part);
  expect(text({ firstStep: true, leastStops: 2 })).toContain(
    'How far over the 5% that burns was does not show: at least 2 stops, most likely. Look again after the next flight.',
  );
  expect(text({ holdChance: 0.78, fractionLeft: 0.02 })).toContain(
    'In 8 of 10 pictures like this one that holds all of the 5% that burns; in the others up to 2% stays burnt.',
  );
});

test('what else would have worked is over or under by the same scale as the advice', () => {
  const raised: Alternative = { kind: 'raise-iso', label: 'ND8', iso: 125, leavesStops: -0.8 };
  expect(alternativeText(raised)).toContain('0.8 stops under what is wanted');
  // The highlights want 2 stops under, and it leaves 0.8 less than that.
  expect(alternativeText(raised, { offsetStops: -2 })).toContain('2.8 stops under what is wanted');
});

test('nothing is called right where a part burns', () => {
  const highlights = { offsetStops: -0.2, burntFraction: 0.03 };
  expect(filterText({ ...filter, change: 'none', highlights }, kit)).toMatch(
    /^ND16 was right but for the 3% that burns\./,
  );
});

test('changing light names what the darkest part would be left with', () => {
  const pick = { label: 'ND32', stops: 5, leavesStops: 0, darkestLeavesStops: -1.5 };
  expect(filterText({ ...filter, pick, lightSpanStops: 1.5 }, kit)).toContain(
    'changed by 1.5 stops during the clip, and the brightest part that lasts counts; the darkest is then left 1.5 stops under',
  );
});

test('meter and picture are both named where they differ', () => {
  const meterAndPicture = { meteredStops: 0, pictureStops: 1.4 };
  expect(filterText({ ...filter, meterAndPicture }, kit)).toContain('0.0 by the meter, +1.4 by the mean');
});

test('a variable filter is told its setting', () => {
  const pick = { label: 'Vari', stops: 4.3, leavesStops: 0, variable: true };
  expect(filterText({ ...filter, pick }, kit)).toMatch(/^Carry Vari, set to about 4\.3 stops:/);
});

test('where a kit leaves more than burnt highlights want, the level is said as it is', () => {
  const pick = { label: 'ND64', stops: 6, leavesStops: 1.1 };
  const highlights = { offsetStops: -2, burntFraction: 0.18, holdChance: 0.3, fractionLeft: 0.09 };
  const text = filterText({ ...filter, pick, highlights }, kit);
  // By the meter: 1.1 over what is wanted, which is 2 under.
  expect(text).toContain('0.9 stops under.');
  expect(text).toContain(
    'In 3 of 10 pictures like this one that holds all of the 18% that burns; in the others up to 9% stays burnt.',
  );
});

test('a filter that was right is what to carry, even where another of the kit comes nearer', () => {
  const right = { ...filter, neededStops: 4.3, additionalStops: 0.3, change: 'none' } as const;
  expect(filterText(right, kit)).toMatch(/^ND16 was right\. 4\.3 stops were needed and ND16 took 4 stops/);
  expect(filterInShort(right)).toBe('ND16');
});

test('without knowing what was fitted, a burnt picture is told its level by the meter', () => {
  const { fitted: _, neededStops: __, ...unknown } = filter;
  const pick = { label: 'ND64', stops: 6, leavesStops: 1.1 };
  const highlights = { offsetStops: -2, burntFraction: 0.18 };
  const text = filterText({ ...unknown, additionalStops: 7.1, pick, highlights }, kit);
  expect(text).toContain('0.9 stops under');
  // A pilot carries labels, not stops: 3 and 7.1 make 10.1, which is an ND1024.
  expect(text).toContain('Carry ND64 on a bare lens, ND1024 in place of ND8.');
});

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

test.each(seriesAlternatives)('alternativeText() has a whole sentence for $kind', (alternative) => {
  const text = alternativeText(alternative);
  expect(text).toMatch(/^[A-Z].*\.$/);
  expect(text).toMatch(/\d/);
  expect(text).not.toMatch(/undefined|NaN/);
});

test('a night is not told that a filter was too strong', () => {
  const { fitted: _, neededStops: __, pick: ___, ...unknown } = filter;
  const dark = { ...unknown, additionalStops: -5, change: 'weaker', lowLightEv100: 3.6 } as const;
  expect(filterText(dark, kit)).toContain(
    'The light was low, as it is at night and in rooms (EV 3.6), or a filter made it so',
  );
  expect(filterText(dark, kit)).not.toContain('too much');
  expect(filterText({ ...dark, lowLightEv100: undefined }, kit)).toContain('took 5 stops too much');
});
