import type { Ceiling } from '../../domain/measurement.ts';
import type { RangeName, TransferName } from '../../domain/recording.ts';
import { shareFrom, shareBetween, topCode, type CodeHistogram } from '../histograms.ts';
import { codeRange, type CodeRange } from '../videoCodes.ts';

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

/** What the ceiling of a clip is judged by, one entry for each picture. */
interface CeilingEvidence {
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

/** The top of one picture: how far up its codes go, and the pile at the top, if there is one. */
interface PictureTop {
  readonly topSignal: number;
  readonly pile?: Pile;
}

/** Codes of one picture that stop all at once. */
interface Pile {
  readonly fromSignal: number;
  readonly share: number;
  /** Share of the picture that leads up to it. */
  readonly shoulderShare: number;
}

// A sensor that is full gives the same highest code over an area, noise and all, and a codec spreads that by a code or
// two. A sky that is even but not lost keeps its noise on both sides, and brightens from one end to the other. So a pile
// must end hard: most of it within a quarter of a percent and a bit of its upper end. Where the noise is less than one
// code, even that does not tell; then light that goes up to the pile without a break does, or a pile that grows and
// shrinks with the view and keeps its place. The numbers are our own choice, no source; test/measuring/highlights/ceiling.test.ts
// shows what they tell apart.
/** Share of the range in which a pile and the codes just below it are compared. */
const topWidth = 0.02;
/** Share of the range below the upper end of a pile in which most of it lies; normal noise of half of that fills half. */
const edgeWidth = 0.0035;
const shareAtEdge = 0.6;
/** Share of a pile that a codec throws above its end. */
const overshootShare = 0.01;
/** Share of the picture that may lie above the top: noise, halos of sharpening. */
const strayShare = 0.0002;
const leastPileShare = 0.001;
const pileOverBelow = 4;
/** Of a pile: rounding and coarse chroma put less of the channels above it. */
const channelsAbove = 0.1;
/** Share of the range below a pile in which its shoulder is looked for. */
const shoulderWidth = 0.08;
/** Of a pile: the blurred rim of a large even area is less. */
const leastShoulder = 0.01;
/** How much a pile must grow or shrink for its place to prove anything. */
const leastChange = 1.5;

/**
 * Looks for the level at which the highlights of a picture stop. No channel of a full sensor goes above it, whereas
 * the luma of a yellow wall piles up while its red goes on: `highest` counts the highest channel at each place.
 */
function pictureTop(
  histogram: CodeHistogram,
  { black, peak }: CodeRange,
  highest?: CodeHistogram,
): PictureTop {
  const span = peak - black;
  const top = topCode(histogram, strayShare);
  const width = Math.max(2, Math.round(topWidth * span));
  const toSignal = (code: number): number => (code - black) / span;
  const from = top - width + 1;
  const share = shareFrom(histogram, from);
  const below = shareBetween(histogram, from - width, from);
  const topSignal = toSignal(top);
  if (share < leastPileShare || share < pileOverBelow * below || !endsHard(histogram, span, share))
    return { topSignal };
  if (highest !== undefined && shareFrom(highest, top + width) >= channelsAbove * share) return { topSignal };
  const shoulderFrom = from - Math.round(shoulderWidth * span);
  return {
    topSignal,
    pile: {
      fromSignal: toSignal(pileStart(histogram, from)),
      share,
      shoulderShare: shareBetween(histogram, shoulderFrom, from),
    },
  };
}

function endsHard(histogram: CodeHistogram, span: number, share: number): boolean {
  const end = topCode(histogram, Math.max(strayShare, overshootShare * share));
  const width = Math.max(2, Math.round(edgeWidth * span));
  return shareBetween(histogram, end - width + 1, end + 1) >= shareAtEdge * share;
}

/** Where the pile goes over into what the picture has below it. */
function pileStart({ counts }: CodeHistogram, lowest: number): number {
  const crest = highestCount(counts, lowest);
  const width = crest - lowest + 1;
  let usual = 0;
  for (let code = Math.max(0, lowest - width); code < lowest; code++) usual += counts[code]! / width;
  let start = crest;
  for (let code = crest; code >= Math.max(0, lowest); code--) if (counts[code]! > 3 * usual) start = code;
  return start;
}

function highestCount(counts: Uint32Array, from: number): number {
  let best = Math.max(0, from);
  for (let code = best; code < counts.length; code++) if (counts[code]! > counts[best]!) best = code;
  return best;
}

/** A pile that the pictures of a clip agree on: where it begins, and the highest code that any of them reaches. */
interface AgreedPile {
  readonly fromSignal: number;
  readonly topSignal: number;
  /** Whether more than its place speaks for the end of a sensor: a shoulder, or a change of size. */
  readonly isBorneOut: boolean;
}

/** Of a clip's pictures: the pile at the top of them, if at least `leastPictures` show it and none goes higher. */
function agreedPile(tops: readonly PictureTop[], leastPictures: number): AgreedPile | undefined {
  const topSignal = tops.reduce((most, top) => Math.max(most, top.topSignal), -Infinity);
  const piles = tops.flatMap((top) =>
    top.pile !== undefined && top.topSignal > topSignal - topWidth ? [top.pile] : [],
  );
  if (piles.length === 0 || piles.length < leastPictures) return undefined;
  const shares = piles.map(({ share }) => share);
  return {
    fromSignal: Math.min(...piles.map(({ fromSignal }) => fromSignal)),
    topSignal,
    isBorneOut:
      piles.some(({ share, shoulderShare }) => shoulderShare >= leastShoulder * share) ||
      Math.max(...shares) >= leastChange * Math.min(...shares),
  };
}
