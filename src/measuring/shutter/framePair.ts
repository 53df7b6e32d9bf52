import type { RangeName, TransferName } from '../../domain/recording.ts';

/** The luma of one picture as it was coded. */
export interface LumaPlane {
  readonly width: number;
  readonly height: number;
  /** Bits of a code: 8 to 16. */
  readonly bitDepth: number;
  readonly range: RangeName;
  /** Absent where the curve is not known; the codes are then analysed as they are. */
  readonly transfer?: TransferName;
  readonly atSeconds: number;
  readonly codes: Uint8Array | Uint16Array;
}

/** Two consecutive pictures of one clip. */
export interface FramePair {
  readonly first: LumaPlane;
  readonly second: LumaPlane;
}

/** Mean difference, in 8-bit codes, below which two frames are one frame shown twice: sensor noise alone is more. */
const repeatedCodes = 0.35;
const sampleStep = 31;

/** Whether a pair shows one picture twice. A recoded repeat differs by the codec's rounding at most. */
export function isRepeated({ first, second }: FramePair): boolean {
  return meanDifferenceCodes(first, second) < repeatedCodes;
}

function meanDifferenceCodes(first: LumaPlane, second: LumaPlane): number {
  let sum = 0;
  let count = 0;
  for (let i = 0; i < first.codes.length; i += sampleStep, count++)
    sum += Math.abs(first.codes[i]! - second.codes[i]!);
  return sum / count / 2 ** (first.bitDepth - 8);
}

// A picture mixed from two neighbours is softer than a picture that stands alone, so sharpness beats with the rate of
// the conversion. Codecs make frames differ too, but at the finest detail: differences four pixels apart hold still.

/** Stops of gradient energy. Footage as a camera wrote it stays below 0.3, a 24 to 30 frames/s blend reaches 0.47. */
const toleratedStops = 0.35;
const reach = 4;
const columnStep = 4;
const rowStep = 3;
const border = 8;

/**
 * Whether consecutive pictures differ in sharpness as blended ones do. A key frame beside a coarser one, and jerks of a
 * camera in hand, can do the same.
 */
export function sharpnessBeats(pairs: readonly FramePair[]): boolean {
  return pairs.some(({ first, second }) => {
    const ratio = gradientEnergy(first) / gradientEnergy(second);
    return Math.abs(Math.log2(ratio)) > toleratedStops;
  });
}

function gradientEnergy({ codes, width, height }: LumaPlane): number {
  let sum = 1;
  for (let y = border; y < height - border; y += rowStep) {
    for (let x = border, at = y * width + border; x < width - border; x += columnStep, at += columnStep) {
      const across = codes[at + reach]! - codes[at]!;
      const down = codes[at + reach * width]! - codes[at]!;
      sum += across * across + down * down;
    }
  }
  return sum;
}
