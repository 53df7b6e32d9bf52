import { describe, expect, test } from 'vitest';
import type { FactValues } from '../../src/domain/recording.ts';
import type { Frame } from '../../src/measuring/decoding/frame.ts';
import { planFrameMeter } from '../../src/measuring/frameMeter.ts';
import { factsOf } from './encodeClip.ts';
import { hash } from './paintedStill.ts';

const size = { width: 320, height: 180, bitDepth: 8 } as const;

/** Luma codes of 16 to 235 at each place, without colour. */
function frame(atSeconds: number, lumaAt: (x: number, y: number) => number): Frame {
  const luma = new Uint8Array(size.width * size.height);
  for (let y = 0, at = 0; y < size.height; y++)
    for (let x = 0; x < size.width; x++, at++) luma[at] = lumaAt(x, y);
  const neutral = new Uint8Array((size.width * size.height) / 4).fill(128);
  return { ...size, atSeconds, luma, cb: neutral, cr: neutral };
}

function measure(frames: readonly Frame[], facts: Partial<FactValues> = {}) {
  const meter = planFrameMeter(factsOf({ transfer: 'bt709', ...facts }), size);
  for (const each of frames) meter.measure(each);
  return meter.result();
}

const scene = (x: number, y: number): number => 76 + hash(x, y, 61);
/** The same with bars of 24 rows; a tenth of what is between them is white. */
const barred = (x: number, y: number): number => (y < 24 || y >= 156 ? 16 : x < 32 ? 235 : scene(x, y));
const inside = (x: number, y: number): number => (x < 32 ? 235 : scene(x, y));

describe('a clip between black bars', () => {
  test('has the level and the shares of the picture between them', () => {
    const { frames, pictureArea } = measure([0, 1, 2].map((at) => frame(at, barred)));
    const [whole] = measure([frame(0, inside)]).frames;
    expect(pictureArea).toMatchObject({ shape: 'bars', fraction: expect.closeTo(132 / 180, 1) });
    for (const each of frames) {
      expect(Math.abs(each.levelStops! - whole!.levelStops!)).toBeLessThan(0.05);
      expect(each.clippedFraction).toBeCloseTo(0.1, 2);
      expect(each.largestRegionFraction).toBeCloseTo(0.1, 2);
      expect(each.crushedFraction).toBe(0);
    }
  });

  test('counts whole where one picture has no bars', () => {
    const { frames, pictureArea } = measure([frame(0, barred), frame(1, scene)]);
    expect(pictureArea).toBeUndefined();
    expect(frames[0]!.crushedFraction).toBeCloseTo(48 / 180, 2);
  });

  test('a black start says nothing of the bars', () => {
    const { frames, pictureArea } = measure([frame(0, () => 16), frame(1, barred), frame(2, barred)]);
    expect(pictureArea?.shape).toBe('bars');
    expect(frames.map(({ noScene }) => noScene)).toEqual(['black', undefined, undefined]);
  });
});

// A real clip of narrow range whose last picture, put there in the edit, was 0 all over.
test('black at 0 that an editor put there does not make a clip full range', () => {
  const { range } = measure([frame(0, scene), frame(1, () => 0)], { range: 'narrow' });
  expect(range).toEqual({ name: 'narrow', basis: 'recorded' });
});

describe('what is no scene in a clip', () => {
  /** White strokes on black. */
  const title = (x: number, y: number): number => (y > 60 && y < 120 && x % 40 < 9 && y % 20 < 14 ? 235 : 16);

  test('a title is marked, unless the camera recorded an exposure', () => {
    const of = (facts: Partial<FactValues>) =>
      measure([frame(0, title), frame(1, scene)], facts).frames.map(({ noScene }) => noScene);
    expect(of({})).toEqual(['drawing', undefined]);
    expect(of({ exposureSeconds: 1 / 50 })).toEqual([undefined, undefined]);
  });

  test('a fade from black is marked up to where it ends, and has no level', () => {
    const faded = (share: number) => (x: number, y: number) => 16 + share * (scene(x, y) - 16);
    const { frames } = measure([0, 0.2, 0.6, 1, 1].map((share, at) => frame(at, faded(share))));
    expect(frames.map(({ noScene }) => noScene)).toEqual(['black', 'fade', 'fade', undefined, undefined]);
    expect(frames[1]!.levelStops).toBeUndefined();
  });
});
