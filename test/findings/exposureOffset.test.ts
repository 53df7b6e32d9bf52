import { expect, test } from 'vitest';
import { exposureOffset, isBelieved } from '../../src/findings/exposureOffset.ts';
import { clip, measured, track } from './subject.ts';

const levelled = measured([{}], { levelStops: { median: -0.4, low: -0.9, high: 0.1 } });

test('the meter goes before the picture', () => {
  expect(exposureOffset(clip({ meteredOffsetStops: 0.3 }), levelled)).toEqual({
    offsetStops: 0.3,
    basis: 'metered',
  });
});

test('a meter that read 0 is a meter', () => {
  expect(exposureOffset(clip({ meteredOffsetStops: 0 }), levelled)).toEqual({
    offsetStops: 0,
    basis: 'metered',
  });
});

test('a meter over time gives its median', () => {
  const samples = [{ meteredOffsetStops: 0 }, { meteredOffsetStops: 0.7 }, {}, { meteredOffsetStops: 0.3 }];
  expect(exposureOffset(clip({}, track(samples)), levelled)).toEqual({ offsetStops: 0.3, basis: 'metered' });
});

test('without a meter the level of the picture counts, and without both nothing is known', () => {
  expect(exposureOffset(clip({}), levelled)).toEqual({ offsetStops: -0.4, basis: 'picture' });
  expect(exposureOffset(clip({}), measured([{}]))).toBeUndefined();
  expect(exposureOffset(clip({}), undefined)).toBeUndefined();
});

test('what was dialled in for a still is a part of its offset', () => {
  const dialled = { ...clip({ exposureBiasStops: -0.5 }), kind: 'still' as const };
  expect(exposureOffset(dialled, levelled)?.offsetStops).toBe(-0.4);
});

test('a picture that is six stops under may be an exposure; what is darker, only a meter may say', () => {
  expect(isBelieved({ offsetStops: -6, basis: 'picture' })).toBe(true);
  expect(isBelieved({ offsetStops: -22.1, basis: 'picture' })).toBe(false);
  expect(isBelieved({ offsetStops: -7, basis: 'metered' })).toBe(true);
});

// Two real stops over read 1.48 by the standard curve, as the mean of brackets that took no part in the fit.
test.each(['bt709', 'srgb'] as const)('the shoulder of cameras is undone in %s', (transfer) => {
  const levelStops = { median: 1.48, low: 1.48, high: 1.48 };
  const offset = exposureOffset(clip({ transfer }), measured([{}], { levelStops }));
  expect(Math.abs(offset!.offsetStops - 2)).toBeLessThan(0.2);
});

test.each([
  ['hlg', 1.5, 0],
  ['hlg', 2.42, 0.5],
  ['hlg', -0.4, -0.4],
  ['pq', 1.9, 0],
  ['bt709', -1.5, -1.5],
  ['linear', 1.5, 1.5],
] as const)('in %s a level of %d leaves an offset of %d', (transfer, level, offsetStops) => {
  const levelStops = { median: level, low: level, high: level };
  const offset = exposureOffset(clip({ transfer }), measured([{}], { levelStops }));
  expect(offset?.offsetStops).toBeCloseTo(offsetStops, 12);
});
