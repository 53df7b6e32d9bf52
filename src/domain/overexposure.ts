/*
 * How far a picture with burnt highlights was overexposed, and what would have held them. What lies above the ceiling was
 * not recorded, so this is experience: real exposure brackets, of which only the shutter or the ISO moves, say how many
 * stops lie between a frame with so much lost and the one that loses an accepted share.
 */

/** How much darker the frame that clips most should have been for the clipped area to be an acceptable one. */
export interface Overexposure {
  /** A bound: four of five such pictures were over by more. */
  readonly leastStops: number;
  /** The interval holds four of five such pictures. */
  readonly lowStops: number;
  /** As many such pictures were over by less as by more. Absent where only the bound can be told. */
  readonly middleStops?: number;
  /** Absent where only the bound can be told. */
  readonly highStops?: number;
  /**
   * From brackets of other scenes, or from a frame of the same clip that was taken darker. `tail` is what earlier versions
   * called the first.
   */
  readonly basis: 'experience' | 'darker-frames' | 'tail';
}

/** What the picture says of its highlights; each part is absent where it was not measured. */
export interface HighlightRoom {
  /** Share of the picture in a spread-out burnt part that is larger than accepted. The sun's disc is none. */
  readonly burntFraction?: number;
  /** How far the burnt part was over. */
  readonly overexposure?: Overexposure;
  /** How much brighter the picture could have been before anything that counts reached the ceiling. */
  readonly roomStops?: number;
}

/** A line over the doublings of the burnt area beyond what is accepted. */
export interface Line {
  readonly stops: number;
  readonly stopsPerDoubling: number;
}

export type ExperienceLines = Readonly<Record<'low' | 'least' | 'middle' | 'high', Line>>;

/**
 * Quantiles of the stops that 359 frames of 75 real brackets were over, each scene with the same weight
 * (`npm run bench -- overexposure --brackets <folder>` fits such lines anew): a tenth was over by less than `low`, a fifth
 * by less than `least`, half by less than `middle`, nine tenths by less than `high`. No line falls, so more burnt never
 * gets a smaller answer. What else was tried told nothing more of cameras that were left out: see measuring/README.md.
 */
export const experience: ExperienceLines = {
  low: { stops: 0, stopsPerDoubling: 0.29 },
  least: { stops: 0, stopsPerDoubling: 0.41 },
  middle: { stops: 0.1, stopsPerDoubling: 0.65 },
  high: { stops: 0.85, stopsPerDoubling: 0.91 },
};

/** Of a picture of which more is burnt, only the bound is told: eight of ten such frames were 1.7 to 7 stops over. */
export const mostToldFraction = 0.2;

/**
 * How much darker a picture should have been, by the share of it that is lost.
 * @param clippedFraction [0, 1]
 * @param acceptedFraction (0, 1]; nothing is accepted less than a thousandth
 * @returns undefined where the area that is lost is accepted
 * @example overexposureOf(0.4, 0.01)?.highStops // undefined
 */
export function overexposureOf(
  clippedFraction: number,
  acceptedFraction: number,
  lines: ExperienceLines = experience,
): Overexposure | undefined {
  if (clippedFraction <= acceptedFraction) return undefined;
  const doublings = Math.log2(clippedFraction / Math.max(acceptedFraction, leastAccepted));
  const at = ({ stops, stopsPerDoubling }: Line): number => Math.max(0, stops + stopsPerDoubling * doublings);
  const bound = {
    leastStops: at(lines.least),
    lowStops: at(lines.low),
    basis: 'experience' as const,
  };
  if (clippedFraction > mostToldFraction) return bound;
  return { ...bound, middleStops: at(lines.middle), highStops: at(lines.high) };
}

/** Where nothing may be lost at all: a thousandth is what a single glint takes. Common practice, no source. */
const leastAccepted = 0.001;

// Between the quantiles, chances run as a logistic distribution with a half of its own to either side of the middle: it
// has a closed form, and came within 0.05 of the shares of brackets that were left out.

const mostTold = overexposureOf(mostToldFraction, 0.01)!;

/** log(0.9 / 0.1): where nine of ten lie below. */
const nineOfTen = Math.log(9);

/**
 * By how much the picture is to get darker for the highlights to hold with a chance.
 * @param chance [0.5, 0.95]
 * @returns stops, >= 0; where only a bound can be told a first step, as where less burns, for more must not ask for less
 * @example stopsThatHold({ leastStops: 1, lowStops: 1, middleStops: 2, highStops: 3, basis: 'experience' }, 0.9) // 3
 */
export function stopsThatHold(over: Overexposure, chance: number): number {
  const { leastStops, highStops } = over;
  if (highStops === undefined) return Math.max(leastStops, stopsThatHold(mostTold, chance));
  const middleStops = middleOf(over, highStops);
  return middleStops + ((highStops - middleStops) * Math.log(chance / (1 - chance))) / nineOfTen;
}

/**
 * The chance that the highlights hold in a picture that is darker by so much.
 * @param darkerStops >= 0
 * @returns (0, 1); undefined where only a bound can be told
 * @example chanceOfHolding({ leastStops: 1, lowStops: 1, middleStops: 2, highStops: 3, basis: 'experience' }, 2) // 0.5
 */
export function chanceOfHolding(over: Overexposure, darkerStops: number): number | undefined {
  const { lowStops, highStops } = over;
  if (highStops === undefined) return undefined;
  const middleStops = middleOf(over, highStops);
  const beyond = darkerStops - middleStops;
  const half = beyond > 0 ? highStops - middleStops : middleStops - lowStops;
  if (half <= 0) return beyond < 0 ? 0.1 : 0.9;
  return 1 / (1 + Math.exp((-nineOfTen * beyond) / half));
}

function middleOf({ lowStops, middleStops }: Overexposure, highStops: number): number {
  return middleStops ?? (lowStops + highStops) / 2;
}

/**
 * The share that then stays burnt in the worst of ten such pictures, if the burnt area halves as often for every stop as
 * it did to get here.
 * @returns [0, clippedFraction]; undefined where only a bound can be told
 * @example fractionLeft({ leastStops: 1, lowStops: 1, highStops: 3, basis: 'experience' }, { clippedFraction: 0.16, acceptedFraction: 0.01, darkerStops: 1.5 }) // 0.04
 */
export function fractionLeft(
  { highStops }: Overexposure,
  picture: {
    readonly clippedFraction: number;
    readonly acceptedFraction: number;
    readonly darkerStops: number;
  },
): number | undefined {
  const { clippedFraction, acceptedFraction, darkerStops } = picture;
  if (highStops === undefined || highStops <= 0) return undefined;
  const left = Math.max(0, 1 - darkerStops / highStops);
  return acceptedFraction * (clippedFraction / acceptedFraction) ** left;
}
