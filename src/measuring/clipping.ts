import type { Ceiling, FrameMeasure } from '../domain/measurement.ts';
import type { RangeName } from '../domain/recording.ts';
import { clippedRegion } from './clippedRegion.ts';
import type { Frame } from './frames.ts';
import { codeRange, colourFactors } from './signal.ts';
import type { LumaWeights } from './signal.ts';

export interface ClippingOptions {
  readonly range: RangeName;
  readonly weights: LumaWeights;
  readonly ceiling: Ceiling;
}

export type Clipping = Omit<FrameMeasure, 'atSeconds' | 'levelStops'>;

/**
 * A lossy codec rings around the peak: of an area that was cut off at 235 a large part comes back a few codes lower,
 * and an area "equal to the peak" can shrink as exposure rises. So all from 98 % of the nominal peak counts as lost:
 * from 231 of 16–235, from 250 of 0–255. Common practice, no source. The 2 % are 0.06 stop of BT.709 scene light.
 *
 * PQ has no ceiling of its own below 10,000 cd/m², which no camera reaches; its recordings stop where the camera
 * stops, and observedCeiling() looks for that place.
 */
export const nominalCeiling: Ceiling = { signal: 0.98, basis: 'nominal' };

/** Codes that carry nothing but black and half a percent of the codec's noise: up to 17 of 16–235, up to 1 of 0–255. */
export const crushedSignal = 0.005;

/** What is lost at both ends of one picture. Every pixel counts; regions are told apart on a coarser grid. */
export function measureClipping(frame: Frame, { range, weights, ceiling }: ClippingOptions): Clipping {
  const codes = codeRange(range, frame.bitDepth);
  const span = codes.peak - codes.black;
  const limit = Math.ceil(codes.black + ceiling.signal * span - 1e-9);
  const counts = countCodes(frame, {
    limit,
    floor: Math.floor(codes.black + crushedSignal * span),
    chroma: chromaTables(frame, range, weights),
  });
  const area = frame.width * frame.height;
  const region =
    counts.clipped > 0
      ? clippedRegion({ width: frame.width, height: frame.height, codes: frame.luma }, limit)
      : undefined;
  return {
    clippedFraction: counts.clipped / area,
    channelClippedFraction: counts.channelClipped / area,
    largestRegionFraction: (region?.pixels ?? 0) / area,
    ...(region === undefined ? {} : { clippedShape: region.shape }),
    crushedFraction: counts.crushed / area,
  };
}

/** For each chroma code, how many luma codes a channel stands above grey; green needs both. */
interface ChromaTables {
  readonly red: Int32Array;
  readonly blue: Int32Array;
  readonly greenCr: Int32Array;
  readonly greenCb: Int32Array;
}

// Whole codes: fractions in the tables would make every comparison below one of doubles, three times as slow.
function chromaTables({ bitDepth }: Frame, range: RangeName, weights: LumaWeights): ChromaTables {
  const codes = codeRange(range, bitDepth);
  const scale = (codes.peak - codes.black) / codes.chromaSpan;
  const factors = colourFactors(weights);
  const table = (factor: number): Int32Array =>
    Int32Array.from({ length: 2 ** bitDepth }, (_, code) =>
      Math.round(factor * scale * (code - codes.chromaZero)),
    );
  return {
    red: table(factors.redFromCr),
    blue: table(factors.blueFromCb),
    greenCr: table(factors.greenFromCr),
    greenCb: table(factors.greenFromCb),
  };
}

interface CodeLimits {
  readonly limit: number;
  readonly floor: number;
  readonly chroma: ChromaTables;
}

interface CodeCounts {
  readonly clipped: number;
  readonly channelClipped: number;
  readonly crushed: number;
}

// Luma is a weighted mean of R'G'B', so where all three reach the ceiling luma does: one comparison covers both.
// Sign bits count and choose without branches, which noise would mispredict: x & (x >> 31) is the smaller of x and 0,
// so r - min(r - b, 0) is the larger of r and b.
function countCodes(
  { width, height, luma, cb, cr }: Frame,
  { limit, floor, chroma }: CodeLimits,
): CodeCounts {
  const { red, blue, greenCr, greenCb } = chroma;
  const chromaWidth = (width + 1) >> 1;
  const lastBelow = (limit - 1) | 0;
  const firstAbove = (floor + 1) | 0;
  let clipped = 0;
  let channelClipped = 0;
  let crushed = 0;
  for (let y = 0, i = 0; y < height; y++) {
    let c = (y >> 1) * chromaWidth;
    for (let end = i + width; i < end; c++) {
      const u = cb[c]!;
      const v = cr[c]!;
      const r = red[v]!;
      const b = blue[u]!;
      const g = (greenCr[v]! + greenCb[u]!) | 0;
      const overBlue = (r - b) | 0;
      const redOrBlue = (r - (overBlue & (overBlue >> 31))) | 0;
      const overGreen = (redOrBlue - g) | 0;
      const below = (lastBelow - redOrBlue + (overGreen & (overGreen >> 31))) | 0;
      const code = luma[i++]!;
      clipped = (clipped + ((lastBelow - code) >>> 31)) | 0;
      crushed = (crushed + ((code - firstAbove) >>> 31)) | 0;
      channelClipped = (channelClipped + ((below - code) >>> 31)) | 0;
      if (i === end) break;
      const next = luma[i++]!;
      clipped = (clipped + ((lastBelow - next) >>> 31)) | 0;
      crushed = (crushed + ((next - firstAbove) >>> 31)) | 0;
      channelClipped = (channelClipped + ((below - next) >>> 31)) | 0;
    }
  }
  return { clipped, channelClipped, crushed };
}
