import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  chanceOfHolding,
  fractionLeft,
  mostToldFraction,
  overexposureOf,
  stopsThatHold,
} from '../../src/domain/overexposure.ts';

const share = fc.double({ min: 0.0101, max: 1, noNaN: true });
const told = fc.double({ min: 0.0101, max: mostToldFraction, noNaN: true });

test('is nothing where no more is lost than accepted', () => {
  expect(overexposureOf(0.01, 0.01)).toBeUndefined();
  expect(overexposureOf(0, 0)).toBeUndefined();
});

test('never falls as more burns, which more light always does', () => {
  fc.assert(
    fc.property(share, share, (a, b) => {
      const [less, more] = [Math.min(a, b), Math.max(a, b)].map((part) => overexposureOf(part, 0.01)!);
      expect(more!.leastStops).toBeGreaterThanOrEqual(less!.leastStops);
      expect(more!.lowStops).toBeGreaterThanOrEqual(less!.lowStops);
      if (more!.highStops === undefined) return;
      expect(more!.middleStops).toBeGreaterThanOrEqual(less!.middleStops!);
      expect(more!.highStops).toBeGreaterThanOrEqual(less!.highStops!);
    }),
  );
});

test('a picture that burns more is never told to get darker by less', () => {
  fc.assert(
    fc.property(share, share, (a, b) => {
      const [less, more] = [Math.min(a, b), Math.max(a, b)].map((part) => overexposureOf(part, 0.01)!);
      expect(stopsThatHold(more!, 0.8)).toBeGreaterThanOrEqual(stopsThatHold(less!, 0.8) - 1e-9);
    }),
  );
});

test('where more is accepted, the same area was less over', () => {
  expect(overexposureOf(0.1, 0.05)!.highStops).toBeLessThan(overexposureOf(0.1, 0.01)!.highStops!);
});

test('of a picture that is mostly white only the bound is told', () => {
  const over = overexposureOf(0.6, 0.01)!;
  expect([over.middleStops, over.highStops]).toEqual([undefined, undefined]);
  expect(chanceOfHolding(over, 3)).toBeUndefined();
  expect(
    fractionLeft(over, { clippedFraction: 0.6, acceptedFraction: 0.01, darkerStops: 1 }),
  ).toBeUndefined();
});

test('stops and chances are each other’s inverse, and the ends of the interval are a tenth and nine tenths', () => {
  fc.assert(
    fc.property(told, fc.double({ min: 0.5, max: 0.95, noNaN: true }), (part, chance) => {
      const over = overexposureOf(part, 0.01)!;
      expect(chanceOfHolding(over, stopsThatHold(over, chance))).toBeCloseTo(chance, 9);
      expect(chanceOfHolding(over, over.lowStops)).toBeCloseTo(0.1, 9);
      expect(chanceOfHolding(over, over.highStops!)).toBeCloseTo(0.9, 9);
    }),
  );
});

test('what stays burnt goes from all of it to what is accepted', () => {
  const over = overexposureOf(0.16, 0.01)!;
  const left = (darkerStops: number) =>
    fractionLeft(over, { clippedFraction: 0.16, acceptedFraction: 0.01, darkerStops });
  expect(left(0)).toBeCloseTo(0.16, 9);
  expect(left(over.highStops!)).toBeCloseTo(0.01, 9);
  expect(left(9)).toBeCloseTo(0.01, 9);
});
