import type { StillPixels } from '../../src/measuring/stillPixels.ts';

/** Grey of 0 to 255 at each place, as pixels in full range. */
export function grey(
  { width, height }: { readonly width: number; readonly height: number },
  lightAt: (x: number, y: number) => number,
): StillPixels {
  const codes = new Uint8Array(3 * width * height);
  for (let y = 0, at = 0; y < height; y++)
    for (let x = 0; x < width; x++, at += 3) codes.fill(Math.round(lightAt(x, y)), at, at + 3);
  return { width, height, bitDepth: 8, codes };
}

/** A whole number from 0 to below `most` that looks like noise, the same for the same place. */
export function hash(x: number, y: number, most: number): number {
  let h = Math.imul(x + 374_761, 668_265_263) ^ Math.imul(y + 2_246_822, 374_761_393);
  h = Math.imul(h ^ (h >>> 13), 1_274_126_177);
  return ((h ^ (h >>> 16)) >>> 0) % most;
}
