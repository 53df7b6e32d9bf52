import { describe, expect, test } from 'vitest';
import type { Frame, FrameGeometry } from '../../../src/measuring/decoding/frame.ts';
import { planShutterPairs, shutterMoments, unlessDark } from '../../../src/measuring/shutter/shutterPairs.ts';

const hd: FrameGeometry = { width: 1920, height: 1080, bitDepth: 8 };
const uhd: FrameGeometry = { width: 3840, height: 2160, bitDepth: 8 };
const fastest = [
  { atSeconds: 8, pixelsPerFrame: 20 },
  { atSeconds: 8.1, pixelsPerFrame: 18 },
  { atSeconds: 2, pixelsPerFrame: 7 },
  { atSeconds: 5, pixelsPerFrame: 6 },
];

test('shutterMoments() takes the two fastest that share no frame', () => {
  expect(shutterMoments(fastest, hd, 25)).toEqual([
    { atSeconds: 8, pairs: 4 },
    { atSeconds: 2, pairs: 4 },
  ]);
});

test('shutterMoments() takes fewer pairs of pictures that fill memory, and one at least', () => {
  expect(shutterMoments(fastest, uhd, 25).map(({ pairs }) => pairs)).toEqual([2, 2]);
  expect(shutterMoments(fastest, { ...uhd, bitDepth: 10 }, 25).map(({ pairs }) => pairs)).toEqual([1, 1]);
});

test('shutterMoments() has none where a clip hovers', () => {
  expect(shutterMoments([{ atSeconds: 3, pixelsPerFrame: 0.4 }], hd, 25)).toEqual([]);
});

test('a pair whose second frame never came is no pair with the frame of another moment', () => {
  const pairs = planShutterPairs({}, uhd, { targetAngleDegrees: 180, toleranceStops: 1 / 3 });
  const luma = Uint8Array.of(100);
  const frame = (atSeconds: number): Frame => ({ ...uhd, atSeconds, luma, cb: luma, cr: luma });
  pairs.frame(frame(0), { opensPair: true, closesPair: false });
  pairs.frame(frame(10), { opensPair: true, closesPair: false });
  pairs.frame(frame(10.04), { opensPair: false, closesPair: true });
  expect(pairs.result().pairCount).toBe(1);
});

describe('unlessDark()', () => {
  const short = {
    verdict: 'short',
    class: 'short',
    interval: { highDegrees: 26 },
    pairCount: 8,
    tileCount: 40,
    medianMotionPixels: 7,
  } as const;

  test('believes no short shutter of a clip two stops under, for its grain looks sharp', () => {
    expect(unlessDark(short, -2.1)).toEqual({
      verdict: 'cannot-tell',
      reason: 'too-dark',
      pairCount: 8,
      tileCount: 40,
      medianMotionPixels: 7,
    });
    expect(unlessDark(short, -0.3)).toBe(short);
    expect(unlessDark(short, undefined)).toBe(short);
  });

  test('believes a long one, which grain would have made look shorter', () => {
    const long = { ...short, verdict: 'measured', class: 'long', angleDegrees: 330 } as const;
    expect(unlessDark(long, -2.1)).toBe(long);
  });
});
