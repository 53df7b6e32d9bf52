import { shareBetween, shareFrom, topCode } from './codeHistogram.ts';
import type { CodeHistogram } from './codeHistogram.ts';
import type { CodeRange } from './signal.ts';

/** The top of one picture: how far up its codes go, and where a pile of them at the top begins, if there is one. */
export interface PictureTop {
  readonly topSignal: number;
  readonly pileFromSignal?: number;
}

// A sensor that is full gives the same highest code over an area, with far less just below it, and a codec spreads
// that by a code or two; a bright scene that is not cut off thins out towards its top over many codes. The numbers
// are our own choice, no source.
/** Share of the range in which a pile and the codes just below it are compared. */
export const topWidth = 0.02;
/** Share of the range in which most of a pile lies. */
const pileWidth = 0.006;
const pileShareInside = 0.6;
/** Share of the picture that may lie above the top: noise, halos of sharpening. */
const strayShare = 0.0002;
const leastPileShare = 0.001;
const pileOverBelow = 4;

/** Looks for the level at which the highlights of a picture stop. */
export function pictureTop(histogram: CodeHistogram, { black, peak }: CodeRange): PictureTop {
  const span = peak - black;
  const top = topCode(histogram, strayShare);
  const width = Math.max(2, Math.round(topWidth * span));
  const toSignal = (code: number): number => (code - black) / span;
  const from = top - width + 1;
  const pile = shareFrom(histogram, from);
  const below = shareBetween(histogram, from - width, from);
  const crest = highestCount(histogram, from);
  const near = Math.max(1, Math.round(pileWidth * span));
  const inside = shareBetween(histogram, crest - near, crest + near + 1);
  const piledUp = pile >= leastPileShare && pile >= pileOverBelow * below && inside >= pileShareInside * pile;
  return {
    topSignal: toSignal(top),
    ...(piledUp ? { pileFromSignal: toSignal(pileStart(histogram, crest, from)) } : {}),
  };
}

function highestCount({ counts }: CodeHistogram, from: number): number {
  let best = Math.max(0, from);
  for (let code = best; code < counts.length; code++) if (counts[code]! > counts[best]!) best = code;
  return best;
}

/** Where the pile around its crest goes over into what the picture has below it. */
function pileStart({ counts }: CodeHistogram, crest: number, lowest: number): number {
  const width = crest - lowest + 1;
  let usual = 0;
  for (let code = Math.max(0, lowest - width); code < lowest; code++) usual += counts[code]! / width;
  let start = crest;
  for (let code = crest; code >= Math.max(0, lowest); code--) if (counts[code]! > 3 * usual) start = code;
  return start;
}

/** A pile that the pictures of a clip agree on: where it begins, and the highest code that any of them reaches. */
export interface AgreedPile {
  readonly fromSignal: number;
  readonly topSignal: number;
}

/** Of a clip's pictures: the pile at the top of them, if at least `leastPictures` show it and none goes higher. */
export function agreedPile(tops: readonly PictureTop[], leastPictures: number): AgreedPile | undefined {
  const topSignal = tops.reduce((most, top) => Math.max(most, top.topSignal), -Infinity);
  const starts = tops.flatMap((top) =>
    top.pileFromSignal !== undefined && top.topSignal > topSignal - topWidth ? [top.pileFromSignal] : [],
  );
  if (starts.length === 0 || starts.length < leastPictures) return undefined;
  return { fromSignal: starts.reduce((least, start) => Math.min(least, start), Infinity), topSignal };
}
