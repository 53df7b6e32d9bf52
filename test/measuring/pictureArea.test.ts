import { describe, expect, test } from 'vitest';
import { agreedArea, pictureArea } from '../../src/measuring/pictureArea.ts';
import { latticeOfStill } from '../../src/measuring/pictureLattice.ts';
import { grey, hash } from './paintedStill.ts';

const full = { black: 0, peak: 255 };
const [width, height] = [640, 360];

const areaOf = (lightAt: (x: number, y: number) => number) =>
  pictureArea(latticeOfStill(grey({ width, height }, lightAt)), full);
/** A scene with texture. */
const texture = (x: number, y: number): number => 60 + hash(x, y, 140);
/** Of a night, with the noise that is left of it. */
const night = (x: number, y: number): number => hash(x, y, 3);

const letterbox =
  (bar: number, inside = texture) =>
  (x: number, y: number) =>
    y < bar || y >= height - bar ? 0 : inside(x, y);
const circle =
  (radius: number, offset = 0, inside = texture) =>
  (x: number, y: number) =>
    Math.hypot(x - width / 2 - offset, y - height / 2) > radius ? 1 : inside(x, y);

describe('pictureArea()', () => {
  test('the picture between black bars is what they leave', () => {
    const bars = areaOf(letterbox(46))!;
    expect(bars).toMatchObject({ shape: 'bars', isSharp: true });
    // 2 × 46 of 360 rows.
    expect(Math.abs(bars.fraction - 268 / 360)).toBeLessThan(0.02);
    expect([bars.holds(0.5, 0.5), bars.holds(0.5, 0.05), bars.holds(0.5, 0.95)]).toEqual([
      true,
      false,
      false,
    ]);
  });

  test('pillars and a frame all around', () => {
    const pillars = areaOf((x, y) => (x < 80 || x >= 560 ? 0 : texture(x, y)))!;
    expect(pillars.shape).toBe('bars');
    expect(Math.abs(pillars.fraction - 0.75)).toBeLessThan(0.02);
    const frame = areaOf((x, y) => (x < 80 || x >= 560 || y < 45 || y >= 315 ? 0 : texture(x, y)))!;
    expect(Math.abs(frame.fraction - 0.75 * 0.75)).toBeLessThan(0.03);
  });

  test('the circle of a fisheye, also off the middle or cut by the upper and lower edge', () => {
    for (const [radius, offset] of [
      [176, 0],
      [170, 9],
      [230, -6],
    ] as const) {
      const found = areaOf(circle(radius, offset))!;
      expect(found).toMatchObject({ shape: 'circle', isSharp: true });
      let inside = 0;
      for (let y = 0; y < height; y++)
        for (let x = 0; x < width; x++)
          if (Math.hypot(x - width / 2 - offset, y - height / 2) <= radius) inside++;
      expect(Math.abs(found.fraction - inside / (width * height))).toBeLessThan(0.02);
    }
  });

  test('a circle with dark ground below in it', () => {
    const found = areaOf(circle(176, 0, (x, y) => (y > 270 ? 1 : texture(x, y))));
    expect(found?.shape).toBe('circle');
  });

  test.each([
    ['a scene', texture],
    ['a night sky over lit ground', (x: number, y: number) => (y < 150 ? 0 : texture(x, y))],
    [
      'lights of a town between black sky and black water',
      (x: number, y: number) => (Math.abs(y - 180) < 20 + hash(x >> 4, 0, 30) && hash(x, y, 9) < 2 ? 200 : 0),
    ],
    [
      'a glow of dusk between sky and ground, which ends in no line',
      (x: number, y: number) => Math.max(0, 120 - Math.abs(y - 180)) + hash(x, y, 2),
    ],
    [
      'the mouth of a cave',
      (x: number, y: number) =>
        Math.hypot(x - 300, 1.4 * (y - 200)) + hash(Math.round(x / 40), Math.round(y / 40), 90) > 190
          ? 0
          : texture(x, y),
    ],
    ['the moon', (x: number, y: number) => (Math.hypot(x - 320, y - 180) < 60 ? texture(x, y) : 0)],
    ['black', () => 0],
  ])('%s has no black frame', (_, lightAt) => {
    const found = areaOf(lightAt);
    expect(found?.isSharp ?? false).toBe(false);
  });
});

describe('agreedArea()', () => {
  const sharp = areaOf(letterbox(46));
  const dark = areaOf(letterbox(46, (x, y) => (Math.abs(y - 180) < 90 ? night(x, y) + 10 : 0)));

  test('one picture proves bars that none contradicts', () => {
    expect(dark?.isSharp).toBe(false);
    expect(agreedArea([dark, sharp, dark])).toMatchObject({ shape: 'bars', fraction: sharp!.fraction });
    expect(agreedArea([dark, dark])).toBeUndefined();
    expect(agreedArea([sharp, areaOf(texture)])).toBeUndefined();
    expect(agreedArea([])).toBeUndefined();
  });

  test('most of the pictures show the circle of a fisheye', () => {
    const fisheye = areaOf(circle(176));
    expect(agreedArea([fisheye, fisheye, fisheye, undefined])?.shape).toBe('circle');
    expect(agreedArea([fisheye, undefined])).toBeUndefined();
  });
});
