import { greyCardLight, lightOfSignal } from '../domain/transferCurves.ts';
import type { FrameMeasure } from '../domain/measurement.ts';
import type { RangeName, TransferName } from '../domain/recording.ts';
import type { Frame } from './decoding/frame.ts';
import type { Inside } from './pictureLattice.ts';
import { codeRange, colourFactors, lumaWeights, type CodeRange } from './videoCodes.ts';

/** Light of one picture in stops from mid-grey, + = brighter. */
interface PictureLight {
  readonly levelStops: number;
  readonly quantilesStops: FrameMeasure['lightQuantilesStops'];
}

/** Of the part of a picture that `holds`, else of all of it. */
export type LevelMeter = (frame: Frame, holds?: Inside) => PictureLight | undefined;

/** The mean needs far fewer places than a picture has: at this many its error is about a hundredth of a stop. */
const places = 20_000;
/** Quantiles are sorted out from every so many of them. */
const placesPerQuantile = 4;
/** Codes at and below black still have some light; less than this, a 4000th of mid-grey, is not told apart. */
const leastStops = -12;

/** Scene light of a signal, in stops from mid-grey; undefined for none at all. */
export function lightStops(transfer: TransferName, signal: number): number | undefined {
  const light = lightOfSignal(transfer, signal);
  return light > 0 ? Math.log2(light / greyCardLight(transfer)) : undefined;
}

/** Prepares measuring the light of pictures of one clip; absent for black. */
export function planLevelMeter(transfer: TransferName, range: RangeName, bitDepth: number): LevelMeter {
  const weights = lumaWeights(transfer);
  const midGrey = greyCardLight(transfer);
  const codes = codeRange(range, bitDepth);
  const span = codes.peak - codes.black;
  const light = lightTable(transfer, codes);
  const factors = colourFactors(weights);
  const difference = span / codes.chromaSpan;
  const green = 1 - weights.red - weights.blue;
  const at = (code: number): number =>
    light[code <= 0 ? 0 : code >= light.length - 1 ? light.length - 1 : Math.round(code)]!;

  return ({ width, height, luma, cb, cr }, holds) => {
    const chromaWidth = Math.ceil(width / 2);
    const chromaHeight = Math.ceil(height / 2);
    const step = Math.max(1, Math.floor(Math.sqrt((chromaWidth * chromaHeight) / places)));
    const some: number[] = [];
    let sum = 0;
    let count = 0;
    for (let y = step >> 1; y < chromaHeight; y += step) {
      for (let x = step >> 1; x < chromaWidth; x += step) {
        if (holds?.((x + 0.5) / chromaWidth, (y + 0.5) / chromaHeight) === false) continue;
        const code = luma[2 * y * width + 2 * x]!;
        const u = (cb[y * chromaWidth + x]! - codes.chromaZero) * difference;
        const v = (cr[y * chromaWidth + x]! - codes.chromaZero) * difference;
        const here =
          weights.red * at(code + factors.redFromCr * v) +
          green * at(code + factors.greenFromCr * v + factors.greenFromCb * u) +
          weights.blue * at(code + factors.blueFromCb * u);
        sum += here;
        if (count++ % placesPerQuantile === 0) some.push(here);
      }
    }
    if (sum <= 0) return undefined;
    return { levelStops: Math.log2(sum / count / midGrey), quantilesStops: quantilesOf(some, midGrey) };
  };
}

/** Quantiles of light in stops from mid-grey. */
export function quantilesOf(light: ArrayLike<number>, midGrey: number): PictureLight['quantilesStops'] {
  const sorted = new Float64Array(light).sort();
  const stopsAt = (share: number): number => {
    const value = sorted[Math.round(share * (sorted.length - 1))]!;
    return value > 0 ? Math.max(leastStops, Math.log2(value / midGrey)) : leastStops;
  };
  return { p5: stopsAt(0.05), p50: stopsAt(0.5), p95: stopsAt(0.95) };
}

/** Light for each code; codes beyond black and above the peak follow the curve, never below no light at all. */
function lightTable(transfer: TransferName, { black, peak, chromaZero }: CodeRange): Float64Array {
  return Float64Array.from({ length: 2 * chromaZero }, (_, code) =>
    Math.max(0, lightOfSignal(transfer, (code - black) / (peak - black))),
  );
}
