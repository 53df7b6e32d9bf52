import { expect, test } from 'vitest';
import { adviseLeastFilter } from '../../src/advice/leastFilter.ts';
import { defaultLimits } from '../../src/domain/limits.ts';
import type { FactValues } from '../../src/domain/recording.ts';
import type { MeasuredShutter } from '../../src/domain/shutter.ts';
import { commonKit } from '../../src/domain/filterKit.ts';
import { filterInShort } from '../../src/report/carryWording.ts';
import { filterText } from '../../src/report/filterWording.ts';
import { clip, fps, measured } from '../findings/subject.ts';

const atMost45 = {
  verdict: 'short',
  interval: { highDegrees: 45 },
  class: 'short',
  pairCount: 8,
  tileCount: 90,
} as const;

function advise(
  facts: Partial<FactValues>,
  { offsetStops = 0, shutter = atMost45 }: { offsetStops?: number; shutter?: MeasuredShutter } = {},
) {
  return adviseLeastFilter({
    recording: clip({ frameRate: fps(25), ...facts }),
    measurement: measured([{}], { shutter }),
    limits: defaultLimits,
    kit: [],
    offset: { offsetStops, basis: 'metered' },
  });
}

test('at most 45 degrees where 180 are wanted is two stops too short, or more', () => {
  expect(advise({})).toMatchObject({ additionalAtLeastStops: 2, change: 'stronger' });
});

test('what the picture is over counts with it', () => {
  expect(advise({}, { offsetStops: 1.5 })?.additionalAtLeastStops).toBeCloseTo(3.5, 12);
});

test('nothing is said where the shutter was recorded, or the blur tells no short one', () => {
  expect(advise({ exposureSeconds: 1 / 50 })).toBeUndefined();
  expect(advise({}, { shutter: { ...atMost45, verdict: 'cannot-tell', class: undefined } })).toBeUndefined();
});

test('nothing is said where the picture is as dark as the shutter was short: another filter would not help', () => {
  expect(advise({}, { offsetStops: -3 })).toBeUndefined();
});

test('the words name a bound, and the least that takes it away', () => {
  const filter = { ...advise({})!, otherwise: [] };
  expect(filterInShort(filter)).toBe('≥ +2.0 stops');
  const text = filterText(filter, { kit: commonKit, kitAssumed: true });
  expect(text).toContain('At least 2 stops of light too much came in');
  expect(text).toContain('Carry at least ND4 on a bare lens, ND32 in place of ND8.');
});
