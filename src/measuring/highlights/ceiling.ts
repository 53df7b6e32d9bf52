import type { Ceiling } from '../../domain/measurement.ts';
import type { RangeName, TransferName } from '../../domain/recording.ts';
import { shareFrom, type CodeHistogram } from '../codeHistogram.ts';
import { signalBelow } from '../level.ts';
import { codeRange, type CodeRange } from '../signal.ts';
import { agreedPile, pictureTop, topWidth, type AgreedPile, type PictureTop } from './observedCeiling.ts';

/**
 * A lossy codec rings around the peak: of an area that was cut off at 235 a large part comes back a few codes lower,
 * and an area "equal to the peak" can shrink as exposure rises. So all from 98% of the nominal peak counts as lost:
 * from 231 of 16–235, from 250 of 0–255. Common practice, no source. The 2% are 0.06 stop of BT.709 scene light.
 */
export const nominalCeiling: Ceiling = { signal: 0.98, basis: 'nominal' };

/** PQ reaches 10,000 cd/m², which no camera does; only where its recordings stop can be looked for. */
const noCeiling: Ceiling = { signal: 1, basis: 'nominal' };

/** Highest code of video data, 254 of 8 bits (BT.709-6, item 4.6), over the span from 16 to 235, less the same 2%. */
const superWhiteCeiling: Ceiling = { signal: (254 - 16) / 219 - 0.02, basis: 'super-white' };

/**
 * Below this a pile is a bright wall. PQ: reference white, 58% (Report ITU-R BT.2408-7, table 1). Elsewhere our own
 * choice, no source: log curves put the end of the sensor between three quarters and all of the signal.
 */
const leastSignal = { pq: 0.58, other: 0.7 } as const;
/** A wall may pile up in one picture; the end of the sensor does in every picture that reaches it. */
const leastPictures = 3;
/** Share of the picture above the nominal peak that overshoots of a codec do not explain. */
const superWhiteShare = 0.001;

/** The ceiling of a clip, and the signal of half a stop less light where the transfer function is known. */
export interface CeilingInUse extends Ceiling {
  readonly halfStopBelowSignal?: number;
}

/** What the ceiling of a clip is judged by, one entry for each picture. */
export interface CeilingEvidence {
  readonly top: PictureTop;
  /** Share of codes from 2% above the nominal peak. */
  readonly aboveShare: number;
  /** Share of codes within 2% of the nominal peak. */
  readonly atPeakShare: number;
}

/** `highest`: of the highest of R', G' and B' at each place, where it was counted. */
export function ceilingEvidence(
  histogram: CodeHistogram,
  codes: CodeRange,
  highest?: CodeHistogram,
): CeilingEvidence {
  const { black, peak } = codes;
  const margin = Math.max(1, Math.round(topWidth * (peak - black)));
  const aboveShare = shareFrom(histogram, peak + margin + 1);
  return {
    top: pictureTop(histogram, codes, highest),
    aboveShare,
    atPeakShare: shareFrom(histogram, peak - margin) - aboveShare,
  };
}

/** Where the ceiling may turn out to lie, by one picture alone, as signals in the range that is believed in. */
export function ceilingCandidates(
  histogram: CodeHistogram,
  range: RangeName,
  bitDepth: number,
): readonly number[] {
  const codes = codeRange(range, bitDepth);
  const { top, aboveShare } = ceilingEvidence(histogram, codes);
  return [
    nominalCeiling.signal,
    ...(top.pile === undefined || Math.abs(top.pile.fromSignal - nominalCeiling.signal) < topWidth
      ? []
      : [top.pile.fromSignal]),
    ...(range === 'narrow' && aboveShare > 0 ? [superWhiteCeiling.signal] : []),
  ];
}

/** Where the highlights of a clip end: by the standard of its transfer function, unless its codes show another place. */
export function clipCeiling(
  transfer: TransferName | undefined,
  range: RangeName,
  evidence: readonly CeilingEvidence[],
): CeilingInUse {
  const ceiling = ceilingBy(transfer, range, evidence);
  // A picture that ends far below the peak is in a log curve, whatever the file calls it.
  const isItsCurve = transfer === 'pq' || ceiling.signal >= nominalCeiling.signal;
  const halfStopBelowSignal = transfer && isItsCurve ? signalBelow(transfer, ceiling.signal, 0.5) : undefined;
  return { ...ceiling, ...(halfStopBelowSignal === undefined ? {} : { halfStopBelowSignal }) };
}

function ceilingBy(
  transfer: TransferName | undefined,
  range: RangeName,
  evidence: readonly CeilingEvidence[],
): Ceiling {
  const pile = agreedPile(
    evidence.map(({ top }) => top),
    // A PQ that is not cut off by its own curve has no other ceiling to fall back on.
    transfer === 'pq' ? Math.min(leastPictures, evidence.length) : leastPictures,
  );
  const goesAbove = range === 'narrow' && evidence.some(showsSuperWhite);
  if (pile !== undefined && isSensorEnd(pile, transfer, goesAbove))
    return { signal: pile.fromSignal, basis: 'observed' };
  if (transfer === 'pq') return noCeiling;
  return goesAbove ? superWhiteCeiling : nominalCeiling;
}

/** A pile at the nominal peak is what the standard says; only one elsewhere says something new. */
function isSensorEnd(
  { fromSignal, topSignal, isBorneOut }: AgreedPile,
  transfer: TransferName | undefined,
  goesAbove: boolean,
): boolean {
  if (goesAbove) return fromSignal > 1;
  if (!isBorneOut) return false;
  if (transfer === 'pq') return topSignal >= leastSignal.pq;
  return topSignal >= leastSignal.other && topSignal < nominalCeiling.signal;
}

/** Overshoots sit on a pile at the peak; picture that goes on above it leaves no pile there. */
function showsSuperWhite({ aboveShare, atPeakShare }: CeilingEvidence): boolean {
  return aboveShare >= superWhiteShare && aboveShare >= atPeakShare / 4;
}
