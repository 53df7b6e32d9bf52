import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { RangeName } from '../../../src/domain/recording.ts';
import type { Frame } from '../../../src/measuring/decoding/frame.ts';
import { nominalCeiling } from '../../../src/measuring/highlights/ceiling.ts';
import { clippingAt, readPicture } from '../../../src/measuring/highlights/pictureClipping.ts';
import { lumaWeights } from '../../../src/measuring/videoCodes.ts';
import { randomNumbers } from '../texture.ts';

interface Paint {
  readonly width: number;
  readonly height: number;
  readonly bitDepth?: 8 | 10;
  /** Luma code at a pixel. */
  readonly luma: (x: number, y: number) => number;
  readonly cb?: number;
  readonly cr?: number;
}

function paint({ width, height, bitDepth = 8, luma, cb, cr }: Paint): Frame {
  const plane = (length: number) => (bitDepth === 8 ? new Uint8Array(length) : new Uint16Array(length));
  const chroma = Math.ceil(width / 2) * Math.ceil(height / 2);
  const grey = 2 ** (bitDepth - 1);
  return {
    width,
    height,
    bitDepth,
    atSeconds: 0,
    luma: plane(width * height).map((_, i) => luma(i % width, Math.floor(i / width))),
    cb: plane(chroma).fill(cb ?? grey),
    cr: plane(chroma).fill(cr ?? grey),
  };
}

function clippingOf(frame: Frame, range: RangeName = 'narrow') {
  const reading = { range, weights: lumaWeights('bt709'), candidates: () => [nominalCeiling.signal] };
  return clippingAt(readPicture(frame, reading), range, nominalCeiling);
}

const size = { width: 320, height: 180 };

describe('what is lost piles up', () => {
  /** A ramp from 180 on, a code every so many columns; what is brighter than the peak was cut off. */
  const ramp = (columns: number, end = Infinity) =>
    paint({ ...size, luma: (x) => Math.min(235, end, 180 + Math.floor(x / columns)) });

  test('a ramp that ends just above 98% by itself keeps its detail', () => {
    // Codes from 180 to 233 hold six columns each, 233 two.
    expect(clippingOf(ramp(6))).toMatchObject({ clippedFraction: 0, channelClippedFraction: 0 });
  });

  test('a ramp that was cut off is lost from 98% on', () => {
    // 320 columns of 3: from code 231, column 153, on.
    expect(clippingOf(ramp(3)).clippedFraction).toBeCloseTo((320 - 153) / 320, 3);
  });

  test('a cut-off part beside a large bright one is lost', () => {
    // A tenth white beside a sky of 226 to 230, as a sun in bright clouds.
    const sky = paint({ ...size, luma: (x) => (x < 32 ? 235 : 226 + (x % 5)) });
    expect(clippingOf(sky).clippedFraction).toBeCloseTo(0.1, 3);
  });
});

describe('clippingAt()', () => {
  // Codes of black and peak: ITU-R BT.709-6, item 4.6; BT.2100-2, table 9.
  test.each([
    ['narrow', 8, 16, 235],
    ['narrow', 10, 64, 940],
    ['full', 8, 0, 255],
    ['full', 10, 0, 1023],
  ] as const)('knows black and peak of %s range in %d bits', (range, bitDepth, black, peak) => {
    const solid = (code: number) => clippingOf(paint({ ...size, bitDepth, luma: () => code }), range);
    expect(solid(peak)).toMatchObject({ clippedFraction: 1, channelClippedFraction: 1, crushedFraction: 0 });
    expect(solid(black)).toMatchObject({ clippedFraction: 0, channelClippedFraction: 0, crushedFraction: 1 });
    const middle = solid(Math.round((black + peak) / 2));
    expect(middle).toMatchObject({ clippedFraction: 0, channelClippedFraction: 0, crushedFraction: 0 });
    expect(middle.clippedShape).toBeUndefined();
  });

  test('takes 8-bit codes from 231 (narrow) and from 250 (full) as lost', () => {
    const counted = (code: number, range: RangeName) =>
      clippingOf(paint({ ...size, luma: () => code }), range).clippedFraction;
    expect([counted(230, 'narrow'), counted(231, 'narrow')]).toEqual([0, 1]);
    expect([counted(249, 'full'), counted(250, 'full')]).toEqual([0, 1]);
  });

  test.each([
    [1, 1],
    [7, 5],
    [321, 179],
    [1921, 3],
  ])('counts every pixel of a %d x %d picture', (width, height) => {
    const random = randomNumbers(width);
    const frame = paint({ width, height, luma: () => Math.floor(random() * 256) });
    const count = (matches: (code: number) => boolean) => [...frame.luma].filter(matches).length;
    const { clippedFraction, crushedFraction } = clippingOf(frame);
    expect(clippedFraction).toBeCloseTo(count((code) => code >= 231) / frame.luma.length, 12);
    expect(crushedFraction).toBeCloseTo(count((code) => code <= 17) / frame.luma.length, 12);
  });

  test('sees one channel at its peak where luma is not', () => {
    // 100% bars of BT.709 in narrow range, 8 bits: yellow (Y 219, Cb 16, Cr 138), red (63, 102, 240), grey 75% (180).
    // Source: the codes follow from BT.709-6, items 3.2 to 3.4, by arithmetic.
    const of = (y: number, cb: number, cr: number) => clippingOf(paint({ ...size, luma: () => y, cb, cr }));
    expect(of(219, 16, 138)).toMatchObject({ clippedFraction: 0, channelClippedFraction: 1 });
    expect(of(63, 102, 240)).toMatchObject({ clippedFraction: 0, channelClippedFraction: 1 });
    expect(of(173, 42, 26)).toMatchObject({ clippedFraction: 0, channelClippedFraction: 1 }); // green
    expect(of(180, 128, 128)).toMatchObject({ clippedFraction: 0, channelClippedFraction: 0 });
  });

  test('mirroring a picture leaves all fractions', () => {
    fc.assert(
      fc.property(fc.array(fc.nat(255), { minLength: 24, maxLength: 24 }), (codes) => {
        const normal = clippingOf(paint({ width: 6, height: 4, luma: (x, y) => codes[y * 6 + x]! }));
        const mirrored = clippingOf(paint({ width: 6, height: 4, luma: (x, y) => codes[y * 6 + 5 - x]! }));
        expect(mirrored).toEqual(normal);
      }),
    );
  });
});

describe('clippedShape', () => {
  const picture = { width: 1920, height: 1080 };
  const lit = (inside: (x: number, y: number) => boolean) =>
    clippingOf(paint({ ...picture, luma: (x, y) => (inside(x, y) ? 235 : 100) }));
  const round = (cx: number, cy: number, r: number) => (x: number, y: number) =>
    Math.hypot(x - cx, y - cy) < r;

  test.each([8, 20, 60, 110])('a disc of radius %d px is a disc, and its area is right', (radius) => {
    const found = lit(round(700, 400, radius));
    expect(found.clippedShape).toBe('disc');
    const truth = (Math.PI * radius ** 2) / (1920 * 1080);
    expect(Math.abs(found.clippedFraction - truth)).toBeLessThan(0.0002);
    expect(found.largestRegionFraction).toBeGreaterThan(0.9 * truth);
  });

  test('a round area of more than 2% of the picture is no disc', () => {
    expect(lit(round(700, 400, 130)).clippedShape).toBe('area');
  });

  test.each([
    ['a sky', (_: number, y: number) => y < 200],
    ['a strip', (x: number, y: number) => x > 300 && x < 1000 && y > 500 && y < 560],
    ['a square window', (x: number, y: number) => x > 300 && x < 500 && y > 500 && y < 700],
    ['a disc over 5% of the picture', round(900, 500, 250)],
    ['an angle', (x: number, y: number) => x > 300 && y > 300 && x < 600 && y < 600 && (x < 350 || y < 350)],
    ['scattered glints', (x: number, y: number) => x % 60 < 4 && y % 60 < 4],
  ])('%s is an area', (_, inside) => {
    expect(lit(inside).clippedShape).toBe('area');
  });

  test('of two regions the larger one counts', () => {
    const found = lit((x, y) => round(300, 300, 40)(x, y) || round(1500, 800, 80)(x, y));
    expect(found.largestRegionFraction).toBeCloseTo((Math.PI * 80 ** 2) / (1920 * 1080), 3);
  });
});

/** Every so many rows of a picture, as ffmpeg's `field` filter leaves them: of each plane the first, and so on. */
function everyRow({ width, height, bitDepth, atSeconds, luma, cb, cr }: Frame, rowStep: number): Frame {
  const thinned = (plane: Frame['luma'], columns: number) => {
    const rows = plane.slice(0, plane.length / rowStep);
    for (let to = 0, from = 0; to < rows.length; to += columns, from += rowStep * columns)
      rows.set(plane.subarray(from, from + columns), to);
    return rows;
  };
  const half = Math.ceil(width / 2);
  return {
    width,
    height: height / rowStep,
    bitDepth,
    atSeconds,
    rowStep,
    luma: thinned(luma, width),
    cb: thinned(cb, half),
    cr: thinned(cr, half),
  };
}

describe('a picture of which only every so many rows are there', () => {
  const sizes = { 2: { width: 1920, height: 1080 }, 4: { width: 3840, height: 2160 } } as const;
  const fraction = (min: number, max: number) => fc.double({ min, max, noNaN: true });

  /** What is white in it: in shares of the width and the height. */
  function shares(
    full: Frame,
    rowStep: 2 | 4,
  ): { readonly thinned: ReturnType<typeof clippingAt>; readonly truth: number } {
    let white = 0;
    for (const code of full.luma) if (code >= 231) white++;
    return { thinned: clippingOf(everyRow(full, rowStep)), truth: white / full.luma.length };
  }

  // 0.002 is what the shares in a report are to be good to.
  test.each([2, 4] as const)('has the share of a slanted sky, step %d', (rowStep) => {
    const { width, height } = sizes[rowStep];
    fc.assert(
      fc.property(fraction(0.02, 0.3), fraction(-0.2, 0.2), (edge, slope) => {
        const luma = (x: number, y: number) => (y / height < edge + slope * (x / width - 0.5) ? 235 : 120);
        const { thinned, truth } = shares(paint({ width, height, luma }), rowStep);
        expect(Math.abs(thinned.clippedFraction - truth)).toBeLessThan(0.002);
        if (truth > 0.03) expect(thinned.clippedShape).toBe('area');
      }),
      { numRuns: 8 / rowStep },
    );
  });

  test.each([2, 4] as const)('has the share, the shape and the third of a sun, step %d', (rowStep) => {
    const { width, height } = sizes[rowStep];
    const middles = [1 / 6, 1 / 2, 5 / 6] as const;
    fc.assert(
      fc.property(fraction(0.02, 0.06), fraction(0.1, 0.9), fc.constantFrom(0, 1, 2), (size, left, third) => {
        const [x0, y0, radius] = [left * width, middles[third]! * height, size * height];
        const luma = (x: number, y: number) => (Math.hypot(x - x0, y - y0) < radius ? 235 : 120);
        const { thinned, truth } = shares(paint({ width, height, luma }), rowStep);
        expect(Math.abs(thinned.clippedFraction - truth)).toBeLessThan(0.002);
        expect(thinned).toMatchObject({ clippedShape: 'disc', clippedSpots: 1 });
        const { upper, middle, lower } = thinned.clippedThirds!;
        const found = [upper, middle, lower];
        expect(found.indexOf(Math.max(...found))).toBe(third);
      }),
      { numRuns: 8 / rowStep },
    );
  });
});
