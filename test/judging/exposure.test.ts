import { expect, test } from 'vitest';
import { exposureOffset } from '../../src/judging/exposure.ts';
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

test('a still is held against the exposure bias that was dialled in', () => {
  const bracketed = { ...clip({ exposureBiasStops: -0.5 }), kind: 'still' as const };
  expect(exposureOffset(bracketed, levelled)?.offsetStops).toBeCloseTo(0.1, 12);
});
