import type { RangeName } from '../domain/recording.ts';
import type { CodeHistogram } from './codeHistogram.ts';
import type { Frame } from './decoding/frame.ts';
import { codeRange, colourFactors, type LumaWeights } from './signal.ts';

/** Codes of R', G' and B', and of the highest of the three at each place. Code 0 stands for all below black. */
export interface ChannelHistograms {
  readonly red: CodeHistogram;
  readonly green: CodeHistogram;
  readonly blue: CodeHistogram;
  readonly highest: CodeHistogram;
}

/** A share of the picture counted at this many places is off by a thousandth or so. */
const places = 60_000;

/** Counts at a lattice of places where a picture has more than are needed; every pixel of small ones. */
export function channelHistograms(frame: Frame, range: RangeName, weights: LumaWeights): ChannelHistograms {
  const { width, height, luma, cb, cr, bitDepth, rowStep = 1 } = frame;
  const codes = 2 ** bitDepth;
  // Colour adds at most one range in either direction, so an offset makes every sum an index.
  const [red, green, blue, highest] = Array.from({ length: 4 }, () => new Uint32Array(3 * codes)) as [
    Uint32Array,
    Uint32Array,
    Uint32Array,
    Uint32Array,
  ];
  const chroma = chromaTables(bitDepth, range, weights);
  // As far apart across as down, in the whole picture.
  const apart = Math.sqrt((width * height * rowStep) / places);
  const down = Math.max(1, Math.round(apart / rowStep));
  const across = Math.max(1, Math.ceil((width * height) / (places * down)));
  const chromaWidth = (width + 1) >> 1;
  let total = 0;
  for (let y = 0; y < height; y += down) {
    const row = (y >> 1) * chromaWidth;
    for (let x = 0; x < width; x += across) {
      const c = row + (x >> 1);
      const u = cb[c]!;
      const v = cr[c]!;
      const code = (luma[y * width + x]! + codes) | 0;
      const r = (code + chroma.red[v]!) | 0;
      const b = (code + chroma.blue[u]!) | 0;
      const g = (code + chroma.greenCr[v]! + chroma.greenCb[u]!) | 0;
      red[r]!++;
      green[g]!++;
      blue[b]!++;
      highest[r > b ? (r > g ? r : g) : b > g ? b : g]!++;
      total++;
    }
  }
  const fold = (counts: Uint32Array): CodeHistogram => ({ counts: foldEnds(counts, codes), total });
  return { red: fold(red), green: fold(green), blue: fold(blue), highest: fold(highest) };
}

/** For each chroma code, how many luma codes a channel stands above grey; green needs both. */
interface ChromaTables {
  readonly red: Int32Array;
  readonly blue: Int32Array;
  readonly greenCr: Int32Array;
  readonly greenCb: Int32Array;
}

// Whole codes: fractions in the tables would make every sum one of doubles, three times as slow.
function chromaTables(bitDepth: number, range: RangeName, weights: LumaWeights): ChromaTables {
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

/** Codes below 0 count as 0; those above the highest keep counting as the highest. */
function foldEnds(counts: Uint32Array, codes: number): Uint32Array {
  const folded = counts.slice(codes, 2 * codes);
  for (let i = 0; i < codes; i++) folded[0]! += counts[i]!;
  for (let i = 2 * codes; i < counts.length; i++) folded[codes - 1]! += counts[i]!;
  return folded;
}
