import type { RangeName, TransferName } from '../domain/recording.ts';

/** Where black and the nominal peak lie among the codes of a picture. */
export interface CodeRange {
  readonly black: number;
  readonly peak: number;
  /** Codes of a colour difference from -0.5 to 0.5. */
  readonly chromaSpan: number;
  readonly chromaZero: number;
}

/** Recommendation ITU-R BT.2100-2, table 9; BT.709-6, item 4.6, has the same numbers for narrow range. */
export function codeRange(range: RangeName, bitDepth: number): CodeRange {
  const scale = 2 ** (bitDepth - 8);
  const chromaZero = 128 * scale;
  if (range === 'narrow')
    return { black: 16 * scale, peak: 235 * scale, chromaSpan: 224 * scale, chromaZero };
  return { black: 0, peak: 256 * scale - 1, chromaSpan: 256 * scale - 1, chromaZero };
}

/** Weights of linear or coded R and B in luma; G has the rest. */
export interface LumaWeights {
  readonly red: number;
  readonly blue: number;
}

// BT.709-6, item 3.2; BT.2020-2, table 4. HLG and PQ come with BT.2020 primaries (BT.2100-2, table 2).
const bt709Weights: LumaWeights = { red: 0.2126, blue: 0.0722 };
const bt2020: LumaWeights = { red: 0.2627, blue: 0.0593 };

/** The luma weights that go with a transfer function; BT.709's where it is unknown. */
export function lumaWeights(transfer: TransferName | undefined): LumaWeights {
  return transfer === 'hlg' || transfer === 'pq' ? bt2020 : bt709Weights;
}

/** What must be added to luma for R', G' and B', per unit of the colour differences (BT.709-6, items 3.2 and 3.3). */
export function colourFactors({ red, blue }: LumaWeights) {
  const green = 1 - red - blue;
  const redFromCr = 2 * (1 - red);
  const blueFromCb = 2 * (1 - blue);
  return {
    redFromCr,
    blueFromCb,
    greenFromCr: (-red * redFromCr) / green,
    greenFromCb: (-blue * blueFromCb) / green,
  };
}
