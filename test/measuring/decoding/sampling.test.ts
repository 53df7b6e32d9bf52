import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  isPairStep,
  isWorthJumping,
  planSampling,
  readingOnIsCheaper,
} from '../../../src/measuring/decoding/sampling.ts';

describe('planSampling()', () => {
  test('looks at 24 frames of a clip of up to a minute', () => {
    for (const durationSeconds of [6, 20, 60])
      expect(planSampling({ durationSeconds, framesPerSecond: 25 }, 'full').steps).toBe(24);
  });

  test('looks at a short clip at least four times a second', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.04, max: 6, noNaN: true }), (durationSeconds) => {
        expect(
          planSampling({ durationSeconds, framesPerSecond: 50 }, 'full').stepSeconds,
        ).toBeLessThanOrEqual(0.2501);
      }),
    );
  });

  test('never plans more steps than there are frames', () => {
    expect(planSampling({ durationSeconds: 0.2, framesPerSecond: 25 }, 'full').steps).toBe(5);
    expect(planSampling({ durationSeconds: 0.001, framesPerSecond: 25 }, 'full').steps).toBe(1);
  });

  test('ten minutes cost less than three times one minute', () => {
    const steps = (durationSeconds: number): number =>
      planSampling({ durationSeconds, framesPerSecond: 30 }, 'full').steps!;
    expect(steps(600)).toBeLessThan(3 * steps(60));
    expect(steps(600)).toBeGreaterThan(steps(60));
  });

  test('looks at a third as many at first, at the same places where they fit', () => {
    for (const durationSeconds of [6, 20, 60]) {
      const extent = { durationSeconds, framesPerSecond: 25 };
      const [first, full] = [planSampling(extent, 'first'), planSampling(extent, 'full')];
      expect(first.steps).toBe(8);
      expect(first.stepSeconds).toBeCloseTo(3 * full.stepSeconds, 9);
      const pairs = (plan: typeof first) =>
        Array.from({ length: plan.steps! }, (_, step) => step)
          .filter((step) => isPairStep(plan, step))
          .map((step) => step * plan.stepSeconds);
      expect(pairs(first)).toHaveLength(2);
      for (const seconds of pairs(first))
        expect(pairs(full).some((other) => Math.abs(other - seconds) < 1e-9)).toBe(true);
    }
  });

  test('jumping is worth it where steps are longer than what a jump costs', () => {
    const isJumped = (durationSeconds: number): boolean =>
      isWorthJumping(planSampling({ durationSeconds, framesPerSecond: 30 }, 'full'), 30);
    expect([3, 8, 9, 600].map(isJumped)).toEqual([false, false, true, true]);
  });

  test('knows the length from the number of frames too, and copes without', () => {
    expect(planSampling({ frameCount: 250, framesPerSecond: 25 }, 'full')).toEqual(
      planSampling({ durationSeconds: 10, framesPerSecond: 25 }, 'full'),
    );
    expect(isWorthJumping(planSampling({}, 'full'), 25)).toBe(false);
    expect(planSampling({}, 'full').steps).toBeUndefined();
  });

  test('measures motion in three to six steps of a clip with as many, spread over it', () => {
    fc.assert(
      fc.property(fc.integer({ min: 3, max: 3000 }), (seconds) => {
        const plan = planSampling({ durationSeconds: seconds, framesPerSecond: 25 }, 'full');
        const pairs = Array.from({ length: plan.steps! }, (_, step) => step).filter((step) =>
          isPairStep(plan, step),
        );
        expect(pairs.length).toBeGreaterThanOrEqual(3);
        expect(pairs.length).toBeLessThanOrEqual(6);
        expect(pairs[0]!).toBeLessThan(plan.steps! / 4);
        expect(pairs.at(-1)!).toBeGreaterThan(plan.steps! / 2);
      }),
    );
  });
});

test('readingOnIsCheaper() once jumps have to decode as much as lies between them', () => {
  const plan = planSampling({ durationSeconds: 60, framesPerSecond: 25 }, 'full');
  const decodedEach = (framesDecoded: number): boolean =>
    readingOnIsCheaper(plan, { jumps: 2, framesDecoded: 2 * framesDecoded }, 25);
  expect(decodedEach(3)).toBe(false);
  expect(decodedEach(62)).toBe(true);
  expect(readingOnIsCheaper(plan, { jumps: 1, framesDecoded: 900 }, 25)).toBe(false);
});
