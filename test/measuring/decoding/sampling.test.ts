import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  isPairStep,
  keysFit,
  planSampling,
  readingOnIsCheaper,
} from '../../../src/measuring/decoding/sampling.ts';

describe('planSampling()', () => {
  test('looks at 24 frames of a clip of up to a minute', () => {
    for (const durationSeconds of [6, 20, 60])
      expect(planSampling({ durationSeconds, framesPerSecond: 25 }, 'sampled').steps).toBe(24);
  });

  test('looks at a short clip at least four times a second', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.04, max: 6, noNaN: true }), (durationSeconds) => {
        expect(
          planSampling({ durationSeconds, framesPerSecond: 50 }, 'sampled').stepSeconds,
        ).toBeLessThanOrEqual(0.2501);
      }),
    );
  });

  test('never plans more steps than there are frames', () => {
    expect(planSampling({ durationSeconds: 0.2, framesPerSecond: 25 }, 'sampled').steps).toBe(5);
    expect(planSampling({ durationSeconds: 0.001, framesPerSecond: 25 }, 'sampled').steps).toBe(1);
  });

  test('ten minutes cost less than three times one minute', () => {
    const steps = (durationSeconds: number): number =>
      planSampling({ durationSeconds, framesPerSecond: 30 }, 'sampled').steps!;
    expect(steps(600)).toBeLessThan(3 * steps(60));
    expect(steps(600)).toBeGreaterThan(steps(60));
  });

  test('reads short clips through, and of longer ones the key frames', () => {
    const reading = (durationSeconds: number): string =>
      planSampling({ durationSeconds, framesPerSecond: 30 }, 'sampled').reading;
    expect([reading(3), reading(8), reading(9), reading(600)]).toEqual([
      'through',
      'through',
      'keys',
      'keys',
    ]);
  });

  test('looks at every key frame where that is asked for, however close together', () => {
    const plan = planSampling({ durationSeconds: 600, framesPerSecond: 30 }, 'every');
    expect(plan.reading).toBe('keys');
    expect(keysFit(plan, 1 / 30)).toBe(true);
  });

  test('goes on with key frames that are neither too many nor too few', () => {
    const plan = planSampling({ durationSeconds: 60, framesPerSecond: 25 }, 'sampled');
    expect([0.04, 0.09, 0.11, 1, 3, 4, 20].map((keySeconds) => keysFit(plan, keySeconds))).toEqual([
      false,
      false,
      true,
      true,
      true,
      false,
      false,
    ]);
  });

  test('knows the length from the number of frames too, and copes without', () => {
    expect(planSampling({ frameCount: 250, framesPerSecond: 25 }, 'sampled')).toEqual(
      planSampling({ durationSeconds: 10, framesPerSecond: 25 }, 'sampled'),
    );
    expect(planSampling({}, 'sampled')).toMatchObject({ reading: 'through' });
    expect(planSampling({}, 'sampled').steps).toBeUndefined();
  });

  test('measures motion in three to six steps of a clip with as many, spread over it', () => {
    fc.assert(
      fc.property(fc.integer({ min: 3, max: 3000 }), (seconds) => {
        const plan = planSampling({ durationSeconds: seconds, framesPerSecond: 25 }, 'sampled');
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
  const plan = planSampling({ durationSeconds: 60, framesPerSecond: 25 }, 'sampled');
  const decodedEach = (framesDecoded: number): boolean =>
    readingOnIsCheaper(plan, { seeks: 2, framesDecoded: 2 * framesDecoded, step: 2 }, 25);
  expect(decodedEach(3)).toBe(false);
  expect(decodedEach(62)).toBe(true);
  expect(readingOnIsCheaper(plan, { seeks: 1, framesDecoded: 900, step: 1 }, 25)).toBe(false);
});
