import { bt709, CURVE_TABLE_STEPS, hlg, srgb, tabulate } from './transferCurves.ts';
import type { Encoding } from './plan.ts';
import type { Scene } from './land.ts';

/** How light becomes code values. Luma weights: ITU-R BT.709-6 item 3.2, ITU-R BT.2020-2 table 4. */
interface Packing {
  readonly curve: Float32Array;
  readonly redWeight: number;
  readonly blueWeight: number;
  readonly bitDepth: 8 | 10;
  readonly fullRange: boolean;
}

const REC709 = { redWeight: 0.2126, blueWeight: 0.0722 };
const REC2020 = { redWeight: 0.2627, blueWeight: 0.0593 };

export function packingFor(encoding: Encoding): Packing {
  if (encoding === 'hevc-10-hlg') return { ...REC2020, curve: tabulate(hlg), bitDepth: 10, fullRange: false };
  return {
    ...REC709,
    curve: tabulate(bt709),
    bitDepth: encoding === 'hevc-10' ? 10 : 8,
    fullRange: encoding === 'h264-full-range',
  };
}

/** A finished picture and what is true of it, counted before any coding. */
export interface Developed {
  readonly bytes: Uint8Array;
  /** Share of the pixels whose light is at or above the nominal peak in all three channels. */
  readonly clippedFraction: number;
  /** Mean luminance after clipping, 1 = nominal peak. */
  readonly meanLight: number;
}

export interface Development {
  readonly gain: number;
  /** Light that highlights add, one number a pixel. */
  readonly added: Float32Array | undefined;
}

/**
 * Clips at the nominal peak, applies the curve and the matrix, and lays out planar 4:2:0. Sides must be even.
 * The picture's light is overwritten by its signal.
 */
export function developVideo(picture: Scene, { gain, added }: Development, packing: Packing): Developed {
  const { redWeight, blueWeight, curve } = packing;
  const greenWeight = 1 - redWeight - blueWeight;
  const values = picture.light;
  const pixels = picture.width * picture.height;
  let clipped = 0;
  let lightSum = 0;
  for (let pixel = 0, at = 0; pixel < pixels; pixel++, at += 3) {
    const more = added === undefined ? 0 : added[pixel]!;
    const red = values[at]! * gain + more;
    const green = values[at + 1]! * gain + more;
    const blue = values[at + 2]! * gain + more;
    if (red >= 1 && green >= 1 && blue >= 1) clipped++;
    const keptRed = red < 1 ? red : 1;
    const keptGreen = green < 1 ? green : 1;
    const keptBlue = blue < 1 ? blue : 1;
    lightSum += redWeight * keptRed + greenWeight * keptGreen + blueWeight * keptBlue;
    values[at] = curve[(Math.sqrt(keptRed) * CURVE_TABLE_STEPS + 0.5) | 0]!;
    values[at + 1] = curve[(Math.sqrt(keptGreen) * CURVE_TABLE_STEPS + 0.5) | 0]!;
    values[at + 2] = curve[(Math.sqrt(keptBlue) * CURVE_TABLE_STEPS + 0.5) | 0]!;
  }
  return { bytes: layOut(picture, packing), clippedFraction: clipped / pixels, meanLight: lightSum / pixels };
}

/** Quantisation of ITU-R BT.709-6 item 3.4 and ITU-R BT.2100-2 table 9. */
function layOut({ width, height, light: signal }: Scene, packing: Packing): Uint8Array {
  const { redWeight, blueWeight, bitDepth, fullRange } = packing;
  const greenWeight = 1 - redWeight - blueWeight;
  const pixels = width * height;
  const scale = 2 ** (bitDepth - 8);
  const codes = bitDepth === 10 ? new Uint16Array(pixels * 1.5) : new Uint8Array(pixels * 1.5);
  const black = fullRange ? 0 : 16 * scale;
  const lumaSpan = (fullRange ? 255 : 219) * scale;
  const chromaSpan = (fullRange ? 255 : 224) * scale;
  for (let pixel = 0, at = 0; pixel < pixels; pixel++, at += 3) {
    const luma = redWeight * signal[at]! + greenWeight * signal[at + 1]! + blueWeight * signal[at + 2]!;
    codes[pixel] = black + lumaSpan * luma + 0.5;
  }
  const blueSpan = chromaSpan / (8 * (1 - blueWeight));
  const redSpan = chromaSpan / (8 * (1 - redWeight));
  const middle = 128 * scale + 0.5;
  let to = pixels;
  for (let row = 0; row < height; row += 2) {
    for (let column = 0; column < width; column += 2, to++) {
      const at = (row * width + column) * 3;
      const under = at + width * 3;
      const red = signal[at]! + signal[at + 3]! + signal[under]! + signal[under + 3]!;
      const green = signal[at + 1]! + signal[at + 4]! + signal[under + 1]! + signal[under + 4]!;
      const blue = signal[at + 2]! + signal[at + 5]! + signal[under + 2]! + signal[under + 5]!;
      const luma = redWeight * red + greenWeight * green + blueWeight * blue;
      codes[to] = middle + blueSpan * (blue - luma);
      codes[to + pixels / 4] = middle + redSpan * (red - luma);
    }
  }
  return new Uint8Array(codes.buffer);
}

const STILL_CURVE = tabulate(srgb);

/** The same for a still: interleaved 8-bit sRGB. */
export function developStill(picture: Scene, { gain, added }: Development): Developed {
  const pixels = picture.width * picture.height;
  const bytes = new Uint8Array(pixels * 3);
  const weights = [REC709.redWeight, 1 - REC709.redWeight - REC709.blueWeight, REC709.blueWeight] as const;
  let clipped = 0;
  let lightSum = 0;
  for (let pixel = 0; pixel < pixels; pixel++) {
    let lowest = Infinity;
    for (let channel = 0; channel < 3; channel++) {
      const light = picture.light[pixel * 3 + channel]! * gain + (added === undefined ? 0 : added[pixel]!);
      const kept = Math.min(1, light);
      lowest = Math.min(lowest, light);
      lightSum += kept * weights[channel]!;
      bytes[pixel * 3 + channel] = Math.round(
        255 * STILL_CURVE[(Math.sqrt(kept) * CURVE_TABLE_STEPS + 0.5) | 0]!,
      );
    }
    if (lowest >= 1) clipped++;
  }
  return { bytes, clippedFraction: clipped / pixels, meanLight: lightSum / pixels };
}
