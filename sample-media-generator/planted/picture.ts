import sharp from 'sharp';
import { layeredNoise } from '../random.ts';
import { bt709, srgb, type TransferCurve } from '../transferCurves.ts';
import type { Cover, Patch } from './plan.ts';

const GREY = 0.18;
/** Light varies by this share around its mean: seen as texture, and far from black and white. */
const CONTRAST = 0.5;

/** A textured scene whose mean light lies `levelStops` from grey, as 8-bit grey codes in R'G'B'. */
export function scene(
  size: { width: number; height: number },
  levelStops: number,
  curve: TransferCurve,
): Buffer {
  const { width, height } = size;
  const noise = Float64Array.from({ length: width * height }, (_, at) =>
    layeredNoise((at % width) / 12, Math.floor(at / width) / 12, 77, 3),
  );
  const mean = noise.reduce((sum, one) => sum + one, 0) / noise.length;
  const codes = Buffer.alloc(width * height * 3);
  noise.forEach((one, at) => {
    const light = GREY * 2 ** levelStops * (1 + CONTRAST * (one / mean - 1));
    codes.fill(Math.round(255 * curve(Math.min(1, light))), 3 * at, 3 * at + 3);
  });
  return codes;
}

export const videoCurve = bt709;
export const stillCurve = srgb;

/** As R'G'B' codes; of red and blue, only one channel is at its end. */
const patchColours = {
  white: [255, 255, 255],
  black: [0, 0, 0],
  red: [255, 90, 60],
  blue: [110, 160, 255],
} as const;

/** A patch on a clear picture, to be laid over the scene. */
export function patchPng(patch: Patch, size: { width: number; height: number }): Promise<Buffer> {
  const colour = patchColours[patch.tone];
  const covers = { disc, area, specks }[patch.shape](patch, size);
  return layerPng(size, (x, y) => (covers(x, y) ? colour : undefined));
}

const BLACK = [0, 0, 0] as const;
const WHITE = [255, 255, 255] as const;
/** Share of the height of each bar: 2.4:1 in 16:9. */
const BAR = 0.13;
/** Letters as bricks: so wide, with as much between, in lines. */
const LETTER = 6;

/** What lies over the whole scene, clear where the scene is to be seen. */
export function coverPng(cover: Cover, size: { width: number; height: number }): Promise<Buffer> {
  const { width, height } = size;
  const radius = 0.49 * height;
  const colours = {
    bars: (_, y) => (y < BAR * height || y >= (1 - BAR) * height ? BLACK : undefined),
    circle: (x, y) => (Math.hypot(x + 0.5 - width / 2, y + 0.5 - height / 2) > radius ? BLACK : undefined),
    title: (x, y) => {
      const isText = x > width / 4 && x < (3 * width) / 4 && y > height / 3 && y < (2 * height) / 3;
      const isLetter = Math.floor(x / LETTER) % 2 === 0 && Math.floor(y / (2 * LETTER)) % 2 === 0;
      return isText && isLetter ? WHITE : BLACK;
    },
  } satisfies Record<Cover, (x: number, y: number) => Colour | undefined>;
  return layerPng(size, colours[cover]);
}

type Colour = readonly [number, number, number];

function layerPng(
  { width, height }: { width: number; height: number },
  colourAt: (x: number, y: number) => Colour | undefined,
): Promise<Buffer> {
  const pixels = Buffer.alloc(width * height * 4);
  for (let y = 0; y < height; y += 1)
    for (let x = 0; x < width; x += 1) {
      const colour = colourAt(x, y);
      if (colour) pixels.set([...colour, 255], 4 * (y * width + x));
    }
  return sharp(pixels, { raw: { width, height, channels: 4 } })
    .png()
    .toBuffer();
}

function disc({ fraction }: Patch, { width, height }: { width: number; height: number }) {
  const radius = Math.sqrt((fraction * width * height) / Math.PI);
  return (x: number, y: number) => Math.hypot(x + 0.5 - width / 2, y + 0.5 - height / 3) <= radius;
}

/** Squares of 2 by 2, evenly spread. */
function specks({ fraction }: Patch) {
  const apart = Math.round(Math.sqrt(4 / fraction));
  return (x: number, y: number) => x % apart < 2 && y % apart < 2;
}

/** Numbers of a sensor of heat: all of them in a tenth of the range, warmer to the right. */
export function raster({ width, height }: { width: number; height: number }): Uint16Array {
  return Uint16Array.from({ length: width * height }, (_, at) => {
    const noise = layeredNoise((at % width) / 12, Math.floor(at / width) / 12, 78, 3);
    return 6000 + Math.round(4000 * ((at % width) / width) + 1500 * noise);
  });
}

/** A band along the top, the way a bright sky burns. */
function area({ fraction }: Patch, { height }: { height: number }) {
  return (_: number, y: number) => y < fraction * height;
}
