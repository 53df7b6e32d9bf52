import fc from 'fast-check';
import { expect, test } from 'vitest';
import { median, quantile, robustSpread } from '../../src/domain/statistics.ts';

const values = fc.array(fc.double({ min: -1e6, max: 1e6, noNaN: true }), { minLength: 1, maxLength: 30 });

test('nothing has no median, no quantile, no spread', () => {
  expect([median([]), quantile([], 0.5), robustSpread([])]).toEqual(Array.from({ length: 3 }));
});

// Type 7 by its definition (Hyndman & Fan 1996): position (n - 1) p between the order statistics, worked by hand.
test.each([
  [[15, 20, 35, 40, 50], 0.4, 29],
  [[15, 20, 35, 40, 50], 0.05, 16],
  [[1, 2, 3, 4], 0.75, 3.25],
  [[3, 1], 0.5, 2],
  [[7], 0.9, 7],
])('quantile(%o, %d) is %d', (list, probability, expected) => {
  expect(quantile(list, probability)).toBeCloseTo(expected, 12);
});

test('the worked example of the median absolute deviation: 1, 1, 2, 2, 4, 6, 9 gives 1', () => {
  // Encyclopedia article "Median absolute deviation" (from memory), checked by hand: deviations 1 1 0 0 2 4 7.
  expect(robustSpread([1, 1, 2, 2, 4, 6, 9])! / robustSpread([-1, 0, 1])!).toBe(1);
  expect(robustSpread([1, 1, 2, 2, 4, 6, 9])).toBeCloseTo(1.4826, 5);
});

test('quantiles lie within the values, rise with the probability and ignore the order', () => {
  fc.assert(
    fc.property(
      values,
      fc.double({ min: 0, max: 1, noNaN: true }),
      fc.double({ min: 0, max: 1, noNaN: true }),
      (list, a, b) => {
        const low = quantile(list, Math.min(a, b)) ?? Number.NaN;
        const high = quantile(list, Math.max(a, b)) ?? Number.NaN;
        expect(low).toBeLessThanOrEqual(high + 1e-9);
        expect(low).toBeGreaterThanOrEqual(Math.min(...list) - 1e-9);
        expect(high).toBeLessThanOrEqual(Math.max(...list) + 1e-9);
        expect(quantile([...list].reverse(), a)).toBe(quantile(list, a));
      },
    ),
  );
});

test('the caller keeps the order of its list', () => {
  const list = [3, 1, 2];
  median(list);
  expect(list).toEqual([3, 1, 2]);
});

test('one wild value does not move the robust spread', () => {
  expect(robustSpread([1, 2, 3, 4, 5, 6, 7, 8, 1e9])).toBe(robustSpread([1, 2, 3, 4, 5, 6, 7, 8, 9]));
});
