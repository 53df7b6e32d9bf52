import fc from 'fast-check';
import { expect, test } from 'vitest';
import { ratioFromStops, stopsFromRatio } from '../../src/domain/stops.ts';

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
