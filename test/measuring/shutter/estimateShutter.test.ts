import { describe, expect, test, vi } from 'vitest';
import type { BlurCase } from '../../../sample-media-generator/blur/blurCase.ts';
import { estimateShutter } from '../../../src/measuring/shutter/estimateShutter.ts';
import { trueClass } from '../../bench/scoring.ts';
import { everything } from '../../everything.ts';
import { estimateOf } from './renderedShutter.ts';

// Truth: the footage is rendered with the angle (sample-media-generator/blur); nothing of it comes from src.
// Tolerance: a third of a stop is what a filter choice turns on; the bench states how much nearer the median is.
const toleratedStops = 1 / 3;

const h264 = { codec: 'h264', megabitsPerSecond: 7 } as const;
const h265 = { codec: 'h265', megabitsPerSecond: 6 } as const;
type Variation = readonly [title: string, variation: Partial<BlurCase> & { angleDegrees: number }];
const usual: readonly Variation[] = [
  ['45 degrees at 30 px/frame', { angleDegrees: 45, pixelsPerFrame: 30 }],
  ['180 degrees along the rows', { angleDegrees: 180, directionDegrees: 0 }],
  ['360 degrees', { angleDegrees: 360, pixelsPerFrame: 12 }],
  ['180 degrees, rolling shutter', { angleDegrees: 180, readoutFraction: 0.6 }],
  ['180 degrees, sharpened hard', { angleDegrees: 180, sharpening: { amount: 1.5, sigmaPixels: 1.4 } }],
  ['180 degrees, H.264', { angleDegrees: 180, compression: h264 }],
  ['180 degrees, HLG in 10 bits', { angleDegrees: 180, transfer: 'hlg', bitDepth: 10, compression: h265 }],
  ['360 degrees, an unknown flat curve', { angleDegrees: 360, transfer: 'flat-log' }],
];
/** Other angles, moves and scenes, which take long to draw. */
const others: readonly Variation[] = [
  ['180 degrees, roll', { angleDegrees: 180, move: 'roll', pixelsPerFrame: 24 }],
  ['270 degrees', { angleDegrees: 270, pixelsPerFrame: 10 }],
  ['90 degrees', { angleDegrees: 90, pixelsPerFrame: 20 }],
  ['120 degrees', { angleDegrees: 120 }],
  ['172.8 degrees', { angleDegrees: 172.8 }],
  ['180 degrees down the columns', { angleDegrees: 180, directionDegrees: 90 }],
  ['180 degrees at 50 px/frame', { angleDegrees: 180, pixelsPerFrame: 50 }],
  ['180 degrees, grass', { angleDegrees: 180, scene: 'grass' }],
  ['180 degrees, fields', { angleDegrees: 180, scene: 'fields' }],
  ['180 degrees, leaves', { angleDegrees: 180, scene: 'leaves' }],
  ['180 degrees, forward flight', { angleDegrees: 180, move: 'flight' }],
  ['180 degrees, approach', { angleDegrees: 180, move: 'zoom', pixelsPerFrame: 30 }],
  [
    '180 degrees, two layers',
    { angleDegrees: 180, move: 'parallax', nearScene: 'fields', pixelsPerFrame: 24 },
  ],
  ['360 degrees, rolling shutter', { angleDegrees: 360, readoutFraction: 0.6 }],
  ['90 degrees, noise', { angleDegrees: 90, pixelsPerFrame: 24, noiseCodes: 5 }],
  ['180 degrees, denoised', { angleDegrees: 180, noiseCodes: 4, denoiseSignal: 0.06 }],
  ['360 degrees, H.264', { angleDegrees: 360, compression: h264 }],
  ['90 degrees, H.265', { angleDegrees: 90, pixelsPerFrame: 24, compression: h265 }],
];

// Scenes are drawn when first asked for, which takes seconds.
vi.setConfig({ testTimeout: 60_000 });

describe('estimateShutter() gives the angle of rendered footage', () => {
  test.each(everything ? [...usual, ...others] : usual)('%s', async (_, variation) => {
    const estimate = await estimateOf(variation);
    expect(estimate.verdict).toBe('measured');
    expect(Math.abs(Math.log2(estimate.angleDegrees! / variation.angleDegrees))).toBeLessThan(toleratedStops);
    expect([trueClass(variation.angleDegrees), undefined]).toContain(estimate.class);
    const { lowDegrees, highDegrees } = estimate.interval!;
    expect(lowDegrees).toBeLessThan(estimate.angleDegrees!);
    expect(highDegrees).toBeGreaterThan(estimate.angleDegrees!);
  });
});

describe('estimateShutter() calls a short shutter short where it cannot give the angle', () => {
  test.each([
    ['11.25 degrees at 20 px/frame', { angleDegrees: 11.25, pixelsPerFrame: 20 }],
    ['22.5 degrees at 12 px/frame', { angleDegrees: 22.5, pixelsPerFrame: 12 }],
  ])('%s', async (_, variation) => {
    const estimate = await estimateOf(variation);
    expect(estimate).toMatchObject({ verdict: 'short', class: 'short' });
    expect(estimate.angleDegrees).toBeUndefined();
    expect(estimate.interval!.highDegrees).toBeGreaterThan(variation.angleDegrees);
    expect(estimate.interval!.highDegrees).toBeLessThan(180);
  });
});

const costlyRefusals = [
  ['a short shutter at 3 px/frame', { pixelsPerFrame: 3, angleDegrees: 22.5 }, 'too-little-motion'],
  ['each fourth picture shown twice', { conversion: 'four-to-five', frames: 4 }, 'repeated-frames'],
] as const;

describe('estimateShutter() says that it cannot tell, and why', () => {
  test.each<readonly [title: string, variation: Partial<BlurCase>, reason: string]>([
    ...(everything ? costlyRefusals : []),
    ['motion of 1 px/frame', { pixelsPerFrame: 1 }, 'too-little-motion'],
    ['each picture shown twice', { conversion: 'doubled', compression: h264 }, 'repeated-frames'],
    ['pictures mixed from their neighbours', { conversion: 'mixed', frames: 4 }, 'uneven-sharpness'],
    ['one pair only', { frames: 2 }, 'too-few-pairs'],
    ['defocus that leaves nothing but noise', { lensSigmaPixels: 12 }, 'too-noisy'],
  ])('%s', async (_, variation, reason) => {
    const estimate = await estimateOf(variation);
    expect(estimate).toMatchObject({ verdict: 'cannot-tell', reason });
    expect(estimate.class).toBeUndefined();
    expect(estimate.angleDegrees).toBeUndefined();
  });

  test('no pairs at all', () => {
    expect(estimateShutter([])).toMatchObject({
      verdict: 'cannot-tell',
      reason: 'too-few-pairs',
      tileCount: 0,
    });
  });

  test('flat grey frames have no texture', () => {
    const plane = (atSeconds: number, code: number) => ({
      ...({ width: 640, height: 480, bitDepth: 8, range: 'narrow', transfer: 'bt709', atSeconds } as const),
      codes: new Uint8Array(640 * 480).fill(code),
    });
    const pairs = [0, 1, 2].map((i) => ({ first: plane(i, 100), second: plane(i + 0.04, 102) }));
    expect(estimateShutter(pairs)).toMatchObject({ verdict: 'cannot-tell', reason: 'too-little-texture' });
  });
});

test('90 degrees at 8 px/frame, two pixels of blur, give what the angle is at most, and no class', async () => {
  const estimate = await estimateOf({ pixelsPerFrame: 8, angleDegrees: 90 });
  expect(estimate).toMatchObject({ verdict: 'cannot-tell' });
  expect(estimate.interval?.lowDegrees).toBeUndefined();
  expect(estimate.interval!.highDegrees).toBeGreaterThan(90);
  // A third of a stop beyond 180 degrees: above it a bound says nothing.
  expect(estimate.interval!.highDegrees).toBeLessThan(180 * 2 ** toleratedStops);
});

test('an odd pair costs itself, not the clip', async () => {
  const estimate = await estimateOf({ angleDegrees: 180, frames: 4 }, ([one, two, three]) => {
    // Of no contrast, as a jerk or a lost frame leaves a picture.
    const soft = { ...two!.second, codes: two!.second.codes.map((code) => 100 + (code - 100) / 2) };
    return [one!, { first: two!.first, second: soft }, three!];
  });
  expect(estimate).toMatchObject({ verdict: 'measured', pairCount: 3 });
  expect(Math.abs(Math.log2(estimate.angleDegrees! / 180))).toBeLessThan(toleratedStops);
});

test('the class follows the target and the tolerance asked for', async () => {
  const estimate = await estimateOf({ angleDegrees: 90, pixelsPerFrame: 24 });
  expect(estimate.class).toBe('short');
  const { short, on, long } = estimate.evidence.classProbabilities!;
  expect(short + on + long).toBeCloseTo(1, 6);
});

test('the evidence holds the curve, its fit and what the parts say', async () => {
  const { evidence } = await estimateOf({ angleDegrees: 180 });
  expect(evidence.points.length).toBeGreaterThan(12);
  // The first zero of a half-open frame time stands at two cycles per frame (sinc, 1 / 0.5).
  const nearZero = evidence.points.filter(({ cyclesPerFrame }) => Math.abs(cyclesPerFrame - 2) < 0.15);
  expect(nearZero.length).toBeGreaterThan(0);
  for (const { attenuation } of nearZero) expect(attenuation).toBeLessThan(0.12);
  expect(evidence.parts.filter(({ part }) => part === 'pairs')).toHaveLength(2);
});
