import fc from 'fast-check';
import { expect, test } from 'vitest';
import { ev100, ratioFromStops, stopsFromRatio } from '../../src/domain/exposure.ts';

test('ev100() is unknown where one of its settings is', () => {
  expect(ev100({ exposureSeconds: 0.01, iso: 100 })).toBeUndefined();
  expect(ev100({ fNumber: 2.8, iso: 100 })).toBeUndefined();
  expect(ev100({ fNumber: 2.8, exposureSeconds: 0.01 })).toBeUndefined();
});

const ratio = fc.double({ min: 1e-6, max: 1e6, noNaN: true });

test('stops add when ratios multiply', () => {
  fc.assert(
    fc.property(ratio, ratio, (a, b) => {
      expect(stopsFromRatio(a * b)).toBeCloseTo(stopsFromRatio(a) + stopsFromRatio(b), 9);
    }),
  );
});

test('ratioFromStops() is the way back from stopsFromRatio()', () => {
  fc.assert(
    fc.property(ratio, (a) => {
      expect(ratioFromStops(stopsFromRatio(a)) / a).toBeCloseTo(1, 12);
    }),
  );
});
