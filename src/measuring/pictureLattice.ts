import type { CodeHistogram } from './histograms.ts';
import type { Frame } from './decoding/frame.ts';
import type { StillPixels } from './stillPixels.ts';
import { lumaWeights } from './videoCodes.ts';

/** Codes at evenly spread places of one picture, as 8 bits: enough to tell what kind of picture it is. */
export interface PictureLattice {
  readonly columns: number;
  readonly rows: number;
  /** Row by row. */
  readonly luma: Uint8Array;
  /** All three codes of a place in one number, be they luma and two colour differences or R'G'B'. */
  readonly colours: Uint32Array;
}

/** Whether a place belongs to a part of the picture; both from 0 at the upper left corner to 1. */
export type Inside = (across: number, down: number) => boolean;

/** Places along the longer side. Of a share of 1% of the picture so many, 14,400 in all, are off by a tenth of it. */
const placesAlong = 160;

export function latticeOfFrame({
  width,
  height,
  rowStep = 1,
  luma,
  cb,
  cr,
  bitDepth,
}: Frame): PictureLattice {
  const shift = bitDepth - 8;
  const chromaWidth = (width + 1) >> 1;
  return lattice({ width, height, rowStep }, (x, y) => {
    const chroma = (y >> 1) * chromaWidth + (x >> 1);
    const code = luma[y * width + x]! >> shift;
    return { luma: code, colour: (code << 16) | ((cb[chroma]! >> shift) << 8) | (cr[chroma]! >> shift) };
  });
}

export function latticeOfStill({ width, height, bitDepth, codes }: StillPixels): PictureLattice {
  const shift = bitDepth - 8;
  const { red, blue } = lumaWeights('srgb');
  return lattice({ width, height, rowStep: 1 }, (x, y) => {
    const at = 3 * (y * width + x);
    const [r, g, b] = [codes[at]! >> shift, codes[at + 1]! >> shift, codes[at + 2]! >> shift];
    return { luma: Math.round(red * r + (1 - red - blue) * g + blue * b), colour: (r << 16) | (g << 8) | b };
  });
}

function lattice(
  { width, height, rowStep }: { readonly width: number; readonly height: number; readonly rowStep: number },
  codesAt: (x: number, y: number) => { readonly luma: number; readonly colour: number },
): PictureLattice {
  const apart = Math.max(1, Math.max(width, height * rowStep) / placesAlong);
  const columns = Math.max(1, Math.round(width / apart));
  const rows = Math.max(1, Math.min(height, Math.round((height * rowStep) / apart)));
  const luma = new Uint8Array(columns * rows);
  const colours = new Uint32Array(columns * rows);
  for (let row = 0, place = 0; row < rows; row++) {
    const y = Math.floor(((row + 0.5) * height) / rows);
    for (let column = 0; column < columns; column++, place++) {
      const codes = codesAt(Math.floor(((column + 0.5) * width) / columns), y);
      luma[place] = codes.luma;
      colours[place] = codes.colour;
    }
  }
  return { columns, rows, luma, colours };
}

/** How often each luma code, as 8 bits, occurs inside of a part of the picture. */
export function histogramInside({ columns, rows, luma }: PictureLattice, holds: Inside): CodeHistogram {
  const counts = new Uint32Array(256);
  let total = 0;
  luma.forEach((code, place) => {
    if (!holds(((place % columns) + 0.5) / columns, (Math.floor(place / columns) + 0.5) / rows)) return;
    counts[code]!++;
    total++;
  });
  return { counts, total };
}

/** Share of numbers that are among the `most` commonest ones. */
export function shareOfCommonest(numbers: Uint32Array, most: number): number {
  const counts = countsOf(numbers);
  const commonest = [...counts.values()].sort((a, b) => b - a).slice(0, most);
  return commonest.reduce((sum, count) => sum + count, 0) / numbers.length;
}

export function countsOf(numbers: Iterable<number>): ReadonlyMap<number, number> {
  const counts = new Map<number, number>();
  for (const number of numbers) counts.set(number, (counts.get(number) ?? 0) + 1);
  return counts;
}
