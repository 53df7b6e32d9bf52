import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import type { FrameMeasure } from '../../src/domain/measurement.ts';
import { asNoScene, isAllBlack, isDrawn, withFades } from '../../src/measuring/noScene.ts';
import { histogramInside, latticeOfStill } from '../../src/measuring/pictureLattice.ts';
import type { StillPixels } from '../../src/measuring/stillPixels.ts';
import { grey, hash } from './paintedStill.ts';

const full = { black: 0, peak: 255 };
const size = { width: 640, height: 360 };

async function drawing(svg: string, quality?: number): Promise<StillPixels> {
  const image = sharp(Buffer.from(`<svg width="640" height="360">${svg}</svg>`)).flatten();
  const file =
    quality === undefined ? await image.png().toBuffer() : await image.jpeg({ quality }).toBuffer();
  return { ...size, bitDepth: 8, codes: await sharp(file).raw().toBuffer() };
}

const bars = ['#bfbfbf', '#bfbf00', '#00bfbf', '#00bf00', '#bf00bf', '#bf0000', '#0000bf']
  .map((colour, at) => `<rect x="${at * 92}" width="92" height="360" fill="${colour}"/>`)
  .join('');
const strokes = Array.from({ length: 30 }, (_, at) => `M${120 + 13 * at} 160l6 40m-3 -20h6`).join('');
const title = `<rect width="640" height="360" fill="#000"/><path d="${strokes}" stroke="#fff" stroke-width="4"/>`;
const page = `<rect width="640" height="360" fill="#fff"/><path d="${strokes}" stroke="#000" stroke-width="4"/>`;

describe('isDrawn()', () => {
  test.each([
    ['colour bars', bars, undefined],
    ['colour bars as JPEG', bars, 90],
    ['a title', title, undefined],
    ['a page', page, undefined],
  ])('%s', async (_, svg, quality) => {
    expect(isDrawn(latticeOfStill(await drawing(svg, quality)), full)).toBe(true);
  });

  const noise = (x: number, y: number, most: number) => hash(x, y, most);
  /** Hills against a sky, with a soft edge. */
  const above = (x: number, y: number) => 200 + 40 * Math.sin(x / 40) - y;
  const lamp = (x: number, y: number) => 4000 / (16 + (x - 320) ** 2 + (y - 150) ** 2);
  test.each([
    ['a scene', (x: number, y: number) => 60 + noise(x, y, 140)],
    // White over more than a twentieth and as few greys as a drawing: in doubt it is judged.
    [
      'a silhouette against a burnt sky',
      (x: number, y: number) => Math.min(255, Math.max(0, 10 * above(x, y) + noise(x, y, 60))),
    ],
    ['a picture that is burnt all over', () => 255],
    [
      'a burnt picture with a little left',
      (x: number, y: number) => (x + y < 60 ? 190 + noise(x, y, 60) : 255),
    ],
    [
      'a night with a lamp',
      (x: number, y: number) => Math.min(255, Math.floor(lamp(x, y)) + (lamp(x, y) > 1 ? noise(x, y, 9) : 0)),
    ],
    ['an even sky with its noise', (x: number, y: number) => 150 + noise(x, y, 3)],
  ])('%s is none', (_, lightAt) => {
    expect(isDrawn(latticeOfStill(grey(size, lightAt)), full)).toBe(false);
  });
});

describe('isAllBlack()', () => {
  const isBlack = (lightAt: (x: number, y: number) => number) =>
    isAllBlack(
      histogramInside(latticeOfStill(grey(size, lightAt)), () => true),
      full,
    );

  test('behind a cap there is noise and nothing else', () => {
    expect(isBlack((x, y) => hash(x, y, 5))).toBe(true);
    expect(isBlack((x, y) => (hash(x, y, 5000) === 0 ? 200 : 0))).toBe(true);
  });

  test('a night with a few lamps is not black', () => {
    expect(isBlack((x, y) => (x % 80 < 4 && y % 80 < 4 ? 200 : 2))).toBe(false);
  });
});

describe('withFades()', () => {
  const frame = (atSeconds: number, levelStops?: number): FrameMeasure => {
    const measure = {
      atSeconds,
      clippedFraction: 0,
      channelClippedFraction: 0,
      largestRegionFraction: 0,
      crushedFraction: 0,
      levelStops,
    };
    return levelStops === undefined ? asNoScene(measure, 'black') : measure;
  };
  const marks = (frames: readonly FrameMeasure[]) => withFades(frames).map(({ noScene }) => noScene);

  test('from black on, each picture that the next one outshines', () => {
    const frames = [frame(0), frame(1, -6), frame(2, -2), frame(3, 0), frame(4, 0.1), frame(5, 0)];
    expect(marks(frames)).toEqual(['black', 'fade', 'fade', undefined, undefined, undefined]);
    expect(withFades(frames)[1]!.levelStops).toBeUndefined();
    expect(marks(frames.toReversed().map((each, at) => ({ ...each, atSeconds: at })))).toEqual([
      undefined,
      undefined,
      undefined,
      'fade',
      'fade',
      'black',
    ]);
  });

  test('without black, or over half a minute, it is the light that changes', () => {
    expect(marks([frame(0, -6), frame(1, -2), frame(2, 0)])).toEqual([undefined, undefined, undefined]);
    const dawn = [0, 10, 20, 30].map((at) => frame(at, at === 0 ? undefined : at / 10 - 6));
    expect(marks(dawn)).toEqual(['black', undefined, undefined, undefined]);
  });

  test('black in the middle is a cut, and black all through has no fade', () => {
    expect(marks([frame(0, 0), frame(1), frame(2, 0)])).toEqual([undefined, 'black', undefined]);
    expect(marks([frame(0), frame(1)])).toEqual(['black', 'black']);
  });
});
