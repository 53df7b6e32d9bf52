import { expect, test } from 'vitest';
import type { Frame, FrameGeometry } from '../../../src/measuring/decoding/frame.ts';
import { planShutterPairs } from '../../../src/measuring/shutter/shutterPairs.ts';

const target = { targetAngleDegrees: 180, toleranceStops: 1 / 3 };
const uhd: FrameGeometry = { width: 3840, height: 2160, bitDepth: 8 };

/** Which of the pairs that come are kept; each frame is one code long, for nothing looks inside. */
function keptOf(geometry: FrameGeometry, pairCount: number | undefined, coming: number): readonly boolean[] {
  const pairs = planShutterPairs({}, geometry, { target, pairCount });
  const luma = Uint8Array.of(100);
  const frame: Frame = { ...geometry, atSeconds: 0, luma, cb: luma, cr: luma };
  const kept = Array.from({ length: coming }, () => {
    const wanted = pairs.wanted();
    pairs.first(frame);
    pairs.second(frame);
    return wanted;
  });
  return kept;
}

test('of six pairs in 4K memory holds three: the first, the last, and one between', () => {
  expect(keptOf(uhd, 6, 6)).toEqual([true, false, false, true, false, true]);
});

test('of 10 bits it holds two: the first and the last', () => {
  expect(keptOf({ ...uhd, bitDepth: 10 }, 6, 6)).toEqual([true, false, false, false, false, true]);
});

test('all are kept where memory holds them', () => {
  expect(keptOf({ ...uhd, width: 1920, height: 1080 }, 6, 6)).toEqual(Array(6).fill(true));
  expect(keptOf(uhd, 2, 2)).toEqual([true, true]);
});

test('of an unknown number the first are kept', () => {
  expect(keptOf(uhd, undefined, 5)).toEqual([true, true, true, false, false]);
});

test('a pair whose second frame never came is no pair with the frame of another one', () => {
  const pairs = planShutterPairs({}, uhd, { target, pairCount: 6 });
  const frame = (atSeconds: number): Frame => {
    const luma = Uint8Array.of(100);
    return { ...uhd, atSeconds, luma, cb: luma, cr: luma };
  };
  pairs.first(frame(0));
  pairs.first(frame(10));
  pairs.second(frame(10.04));
  expect(pairs.result().pairCount).toBe(0);
});
