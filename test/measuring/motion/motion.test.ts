import { describe, expect, test } from 'vitest';
import { shrinkLuma, type Luma } from '../../../src/measuring/luma.ts';
import {
  motionFactor,
  planMotionMeter,
  summariseMotion,
  summariseShifts,
} from '../../../src/measuring/motion/motion.ts';
import { randomNumbers, renderLuma, waveTexture } from '../texture.ts';

// Truth: the texture is a formula, rendered at the shifted place. Allowed: 0.1 px or 2%, whichever is more.
function allowedPixels(truth: number): number {
  return Math.max(0.1, 0.02 * truth);
}

const small = { width: 512, height: 288 };
const texture = waveTexture(7);
const still = renderLuma(texture, small);

describe('motion between two pictures', () => {
  test.each([
    [0, 0],
    [0.1, 0],
    [0.25, -0.25],
    [0.5, 0.5],
    [1.37, -0.81],
    [3, 0],
    [0, -4.6],
    [-7.25, 2.5],
    [15.5, 9.1],
    [-27.3, 0.4],
  ])('a pan by (%d, %d) px is found', (x, y) => {
    const { shifts } = planMotionMeter(
      small.width,
      small.height,
      8,
    )(still, renderLuma(texture, { ...small, shift: { x, y } }));
    expect(shifts.length).toBeGreaterThanOrEqual(4);
    const truth = Math.hypot(x, y);
    for (const shift of shifts)
      expect(Math.hypot(shift.x - x, shift.y - y)).toBeLessThan(allowedPixels(truth));
    expect(Math.abs(summariseShifts(shifts)!.median - truth)).toBeLessThan(allowedPixels(truth));
  });

  test('a fast pan in a large picture is found', { timeout: 20_000 }, () => {
    const large = { width: 1440, height: 400 };
    const plain = waveTexture(3, 24);
    const { shifts } = planMotionMeter(
      large.width,
      large.height,
      8,
    )(renderLuma(plain, large), renderLuma(plain, { ...large, shift: { x: -51.4, y: 6.3 } }));
    expect(Math.abs(summariseShifts(shifts)!.median - Math.hypot(51.4, 6.3))).toBeLessThan(0.1);
  });

  test('noise of three codes does not move the answer', () => {
    const random = randomNumbers(5);
    const noise = (): number => 3 * (random() + random() + random() + random() - 2) * Math.sqrt(3);
    const { shifts } = planMotionMeter(
      small.width,
      small.height,
      8,
    )(
      renderLuma(texture, { ...small, noise }),
      renderLuma(texture, { ...small, noise, shift: { x: 4.3, y: 1.2 } }),
    );
    expect(Math.abs(summariseShifts(shifts)!.median - Math.hypot(4.3, 1.2))).toBeLessThan(0.1);
  });

  test('10 bits give what 8 bits give', () => {
    const deep = { ...small, bitDepth: 10 } as const;
    const { shifts } = planMotionMeter(
      small.width,
      small.height,
      10,
    )(renderLuma(texture, deep), renderLuma(texture, { ...deep, shift: { x: 2.5, y: 0 } }));
    expect(summariseShifts(shifts)!.median).toBeCloseTo(2.5, 1);
  });

  test('two speeds in one picture: the median follows the larger part, the 95th percentile the faster', () => {
    const moved = renderLuma(texture, { ...small, shift: { x: 2, y: 0 } });
    const faster = renderLuma(texture, { ...small, shift: { x: 9, y: 0 } });
    // The rightmost quarter, which is one column of tiles.
    const codes = moved.codes.map((code, i) => (i % small.width >= 384 ? faster.codes[i]! : code));
    const { shifts } = planMotionMeter(small.width, small.height, 8)(still, { ...small, codes });
    const summary = summariseShifts(shifts)!;
    expect(Math.abs(summary.median - 2)).toBeLessThan(0.1);
    expect(Math.abs(summary.high - 9)).toBeLessThan(0.2);
  });
});

describe('no motion is claimed', () => {
  const flat = (width: number, height: number): Luma => ({
    width,
    height,
    codes: new Uint8Array(width * height).fill(90),
  });

  test.each([
    [1, 1],
    [7, 5],
    [512, 288],
  ])('from a flat picture of %d x %d', (width, height) => {
    const meter = planMotionMeter(width, height, 8);
    expect(summariseShifts(meter(flat(width, height), flat(width, height)).shifts)).toBeUndefined();
  });

  test('between two pictures that show different things', () => {
    const other = renderLuma(waveTexture(99), small);
    expect(planMotionMeter(small.width, small.height, 8)(still, other).shifts).toEqual([]);
  });

  test('from stripes, which leave the motion along them open', () => {
    const stripes = (offset: number) => renderLuma((x) => Math.sin(0.3 * (x - offset)), small);
    expect(planMotionMeter(small.width, small.height, 8)(stripes(0), stripes(3)).shifts).toEqual([]);
  });
});

test(
  'a pan in a picture of 3840 pixels, which is looked at in half its size, is found within 0.1 px',
  {
    timeout: 60_000,
  },
  () => {
    const wide = { width: 3840, height: 320 };
    const plain = waveTexture(5, 16);
    const meter = planMotionMeter(wide.width, wide.height, 8);
    const shrunk = (picture: Luma) => shrinkLuma(picture, motionFactor(wide.width));
    const first = shrunk(renderLuma(plain, wide));
    for (const shift of [
      { x: 0.6, y: -0.3 },
      { x: 23.7, y: 4.4 },
    ]) {
      const { shifts } = meter(first, shrunk(renderLuma(plain, { ...wide, shift })));
      expect(shifts.length).toBeGreaterThanOrEqual(4);
      expect(Math.abs(summariseShifts(shifts)!.median - Math.hypot(shift.x, shift.y))).toBeLessThan(0.1);
    }
  },
);

describe('summariseMotion()', () => {
  const frame = { width: 1920, height: 1080, framesPerSecond: 25, rotationDegrees: 0 };
  const tiles = (...shifts: { x: number; y: number }[]) => [{ shifts, tiles: 24 }];

  // 1920 / (7 x 25) = 10.97 px per frame cross the picture in seven seconds: a seventh of the width per second.
  test('says how many widths of the picture go by in a second', () => {
    const found = summariseMotion(tiles({ x: 1920 / 175, y: 0 }, { x: 1920 / 175, y: 0 }), frame)!;
    expect(found.widthsPerSecond.median).toBeCloseTo(1 / 7, 9);
    expect(found).toMatchObject({ followedTiles: 2, tiles: 24 });
  });

  test.each([
    [0, -3, 0, 0],
    [3, 0, 0, 90],
    [0, 3, 0, 180],
    [-3, 0, 0, 270],
    [-3, 0, 90, 0],
  ])(
    'content that moves by (%d, %d) in a picture turned by %d goes to %d degrees',
    (x, y, rotation, degrees) => {
      const found = summariseMotion(tiles({ x, y }, { x, y }), { ...frame, rotationDegrees: rotation })!;
      expect(found.directionDegrees).toBeCloseTo(degrees, 9);
    },
  );

  test('names no direction where there is none: flying forwards, or standing still', () => {
    const apart = tiles({ x: 4, y: 0 }, { x: -4, y: 0 }, { x: 0, y: 4 }, { x: 0, y: -4 });
    expect(summariseMotion(apart, frame)!.directionDegrees).toBeUndefined();
    expect(summariseMotion(tiles({ x: 0.01, y: 0 }), frame)!.directionDegrees).toBeUndefined();
  });
});
