import type { FramePair, LumaPlane } from './framePair.ts';

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
