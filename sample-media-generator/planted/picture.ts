import sharp from 'sharp';
import { layeredNoise } from '../random.ts';
import { bt709, srgb, type TransferCurve } from '../transferCurves.ts';
import type { Patch } from './plan.ts';

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

/** As R'G'B' codes; of red, only one channel is at its end. */
const patchColours = { white: [255, 255, 255], black: [0, 0, 0], red: [255, 90, 60] } as const;

/** A patch on a clear picture, to be laid over the scene. */
export async function patchPng(patch: Patch, size: { width: number; height: number }): Promise<Buffer> {
  const { width, height } = size;
  const colour = patchColours[patch.tone];
  const covers = patch.shape === 'disc' ? disc(patch, size) : area(patch, size);
  const pixels = Buffer.alloc(width * height * 4);
  for (let y = 0; y < height; y += 1)
    for (let x = 0; x < width; x += 1) {
      if (!covers(x, y)) continue;
      const at = 4 * (y * width + x);
      pixels.set([...colour, 255], at);
    }
  return sharp(pixels, { raw: { width, height, channels: 4 } })
    .png()
    .toBuffer();
}

function disc({ fraction }: Patch, { width, height }: { width: number; height: number }) {
  const radius = Math.sqrt((fraction * width * height) / Math.PI);
  return (x: number, y: number) => Math.hypot(x + 0.5 - width / 2, y + 0.5 - height / 3) <= radius;
}

/** A band along the top, the way a bright sky burns. */
function area({ fraction }: Patch, { height }: { height: number }) {
  return (_: number, y: number) => y < fraction * height;
}
