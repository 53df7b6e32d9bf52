import { describe, expect, test } from 'vitest';
import { flickerOf } from '../../src/measuring/flickerMeter.ts';
import { measureClip } from '../../src/measuring/measureClip.ts';
import { openMedia } from '../../src/programs/openMedia.ts';
import { blankFrame, encodeClip, factsOf, ffmpegs } from './encodeClip.ts';

const levels = (of: (i: number) => number): number[] => Array.from({ length: 12 }, (_, i) => of(i));

describe('flickerOf()', () => {
  test('a level that stands still, rises evenly or bends does not flicker', () => {
    for (const steady of [() => -1, (i: number) => 0.1 * i, (i: number) => 0.02 * i * i - 0.3 * i])
      expect(flickerOf(levels(steady))!).toBeCloseTo(0, 9);
  });

  // The standard deviation of a sine is its amplitude over the root of two; taking a parabola off a few periods of it
  // costs little.
  test.each([3, 4, 5])('lamps that repeat every %d frames give the deviation of their wave', (period) => {
    const wave = levels((i) => 0.2 * Math.sin((2 * Math.PI * i) / period + 0.4) + 0.05 * i);
    expect(flickerOf(wave)! / (0.2 / Math.SQRT2)).toBeGreaterThan(0.85);
    expect(flickerOf(wave)! / (0.2 / Math.SQRT2)).toBeLessThan(1.2);
  });

  test('something bright that comes into the picture, and leaves it, does not flicker', () => {
    expect(flickerOf(levels((i) => (i < 5 ? 0 : 0.4)))!).toBeCloseTo(0, 9);
    expect(flickerOf(levels((i) => (i >= 3 && i < 8 ? 0.4 : 0)))!).toBeCloseTo(0, 9);
  });

  test('a flash does not flicker', () => {
    // Mean codes of an aerial clip with a white flash between two shots, in stops by a gamma of 2.2.
    const codes = [98, 98, 112.8, 128.4, 152.9, 155.6, 138.7, 111.6, 98.5, 97.7, 97.8, 98];
    expect(flickerOf(codes.map((code) => 2.2 * Math.log2((code - 16) / 219)))).toBe(0);
  });

  test('a fade from or to black is none, and neither is black with the noise of a codec', () => {
    // Light that grows evenly, and codes of a display gamma of 2.4 that do.
    for (const gamma of [1, 2.4]) {
      const fade = levels((i) => gamma * Math.log2((i + 1) / 12));
      expect(flickerOf(fade)).toBeUndefined();
      expect(flickerOf(fade.toReversed())).toBeUndefined();
    }
    expect(flickerOf(levels((i) => (i % 3 === 0 ? -12 : -8.5)))).toBeUndefined();
    // Black first, then a picture that stands still.
    expect(flickerOf([-12, -9, ...levels(() => -1)])!).toBeCloseTo(0, 9);
  });

  test('lamps that pulse by two stops do flicker', () => {
    expect(flickerOf(levels((i) => (i % 4 < 2 ? 0 : -2)))!).toBeGreaterThan(0.9);
  });

  test('too few frames say nothing', () => {
    expect(flickerOf([0, 1, 0, 1, 0, 1, 0])).toBeUndefined();
  });
});

test('a clip under lamps flickers, in daylight it is not looked for', async () => {
  const [program] = await ffmpegs();
  const shape = { width: 64, height: 48, bitDepth: 8 } as const;
  // 100 pulses a second against 30 frames: every third frame is alike. Codes 100 and 110 lie 0.22 stop apart in BT.709
  // (light 0.1583 and 0.1966: BT.709-6, item 1.2, inverted by hand).
  const frames = Array.from({ length: 90 }, (_, i) => blankFrame(shape, i % 3 === 0 ? 110 : 100));
  const file = await encodeClip(shape, frames, { framesPerSecond: 30 });
  const measured = async (exposureSeconds: number): Promise<number | undefined> => {
    const media = await openMedia(file);
    const facts = factsOf({
      ...shape,
      transfer: 'bt709',
      durationSeconds: 3,
      playbackFrameRate: { numerator: 30, denominator: 1 },
      exposureSeconds,
      fNumber: 2.8,
      iso: 100,
    });
    const found = await measureClip({
      program: program!,
      media,
      facts,
      mode: 'sampled',
      clippedFlagFraction: 0.01,
    });
    await media.close();
    return found.flickerStops;
  };
  const apart = Math.log2(0.1966 / 0.1583);
  const deviation = apart * Math.sqrt(2 / 9);
  expect(Math.abs((await measured(1 / 60))! - deviation)).toBeLessThan(0.03);
  expect(await measured(1 / 4000)).toBeUndefined();
});
