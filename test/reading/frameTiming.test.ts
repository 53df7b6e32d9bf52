import { expect, test } from 'vitest';
import { frameTiming } from '../../src/reading/frameTiming.ts';
import { valueOf } from './readings.ts';

const times = (gaps: readonly number[]): number[] => {
  let now = 0;
  return [0, ...gaps.map((gap) => (now += gap))];
};

test.each([
  ['even gaps', [1, 1, 1, 1, 1, 1, 1, 1], 'constant', 0],
  ['gaps that jitter by a tenth', [1, 1.1, 0.9, 1, 1.1, 0.9], 'constant', 0],
  ['a frame left out now and then', [1, 1, 1, 2, 1, 1, 3, 1], 'repeating', 2 / 8],
  ['two rates', [1, 1, 1, 1, 1, 2.5, 2.5, 2.5], 'variable', 3 / 8],
  ['gaps that shrink', [1, 1, 1, 1, 0.5, 0.5], 'variable', 2 / 6],
])('%s', (_, gaps, timing, fraction) => {
  const reading = frameTiming(times(gaps.map((gap) => gap / 25)));
  expect(valueOf(reading, 'frameTiming')).toBe(timing);
  expect(valueOf(reading, 'irregularFrameFraction')).toBeCloseTo(fraction, 12);
});

test.each([[[]], [[0]], [[0, 0.04, 0.08]], [[1, 1, 1, 1]]])('too few times (%j) say nothing', (some) => {
  expect(frameTiming(some)).toEqual({ sightings: [], refusals: [] });
});

test('the order of the times makes no difference', () => {
  const some = times([1, 1, 2.5, 1, 1, 2.5]);
  expect(frameTiming(some.toReversed())).toEqual(frameTiming(some));
});
