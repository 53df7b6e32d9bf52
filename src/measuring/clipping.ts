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

interface ChromaTables {
  readonly red: Float64Array;
  readonly blue: Float64Array;
  readonly greenCr: Float64Array;
  readonly greenCb: Float64Array;
}

/** For each chroma code, how many luma codes its colour stands above grey. */
function chromaTables({ bitDepth }: Frame, range: RangeName, weights: LumaWeights): ChromaTables {
  const codes = codeRange(range, bitDepth);
  const factors = colourFactors(weights);
  const table = (factor: number): Float64Array =>
    Float64Array.from(
      { length: 2 ** bitDepth },
      (_, code) => (factor * (code - codes.chromaZero) * (codes.peak - codes.black)) / codes.chromaSpan,
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

// Luma is a weighted mean of R'G'B', so where all three reach the ceiling luma does: one comparison covers both.
function countCodes(
  frame: Frame,
  { limit, floor, chroma }: CodeLimits,
): {
  readonly clipped: number;
  readonly channelClipped: number;
  readonly crushed: number;
} {
  const { width, height, luma, cb, cr } = frame;
  const { red, blue, greenCr, greenCb } = chroma;
  let clipped = 0;
  let channelClipped = 0;
  let crushed = 0;
  const chromaWidth = (width + 1) >> 1;
  for (let y = 0; y < height; y++) {
    let c = (y >> 1) * chromaWidth;
    for (let i = y * width, end = i + width; i < end; c++) {
      const r = red[cr[c]!]!;
      const b = blue[cb[c]!]!;
      const g = greenCr[cr[c]!]! + greenCb[cb[c]!]!;
      const channelLimit = limit - (r > b ? (r > g ? r : g) : b > g ? b : g);
      for (let pair = 0; pair < 2 && i < end; pair++, i++) {
        const code = luma[i]!;
        if (code >= limit) clipped++;
        else if (code <= floor) crushed++;
        if (code >= channelLimit) channelClipped++;
      }
    }
  }
  return { clipped, channelClipped, crushed };
}
