import { expect, test } from 'vitest';
import type { FrameMeasure } from '../../../src/domain/measurement.ts';
import { clippedSpans } from '../../../src/measuring/highlights/clippedSpans.ts';

function frames(...fractions: number[]): FrameMeasure[] {
  return fractions.map((clippedFraction, atSeconds) => ({
    atSeconds,
    clippedFraction,
    channelClippedFraction: 0,
    largestRegionFraction: 0,
    crushedFraction: 0,
  }));
}

test('a span lies halfway to the frames beside it', () => {
  expect(clippedSpans(frames(0, 0, 0.2, 0.3, 0, 0), 0.01, 6)).toEqual([
    {
      startSeconds: 1.5,
      endSeconds: 3.5,
      maxFraction: 0.3,
      startToleranceSeconds: 0.5,
      endToleranceSeconds: 0.5,
    },
  ]);
});

test('frames at either end carry the span to the end of the clip', () => {
  expect(clippedSpans(frames(0.2, 0, 0.3), 0.01, 2.9)).toEqual([
    {
      startSeconds: 0,
      endSeconds: 0.5,
      maxFraction: 0.2,
      startToleranceSeconds: 0,
      endToleranceSeconds: 0.5,
    },
    {
      startSeconds: 1.5,
      endSeconds: 2.9,
      maxFraction: 0.3,
      startToleranceSeconds: 0.5,
      endToleranceSeconds: 0,
    },
  ]);
});

test('a frame at the limit is not above it', () => {
  expect(clippedSpans(frames(0.01, 0.01), 0.01, 2)).toEqual([]);
});

test('no frames, no spans', () => {
  expect(clippedSpans([], 0.01, 2)).toEqual([]);
});
