import type { Sky } from './daylight.ts';

/** How often something came out right, of what is known. */
export interface Share {
  readonly of: number;
  readonly right: number;
}

/** One flight as a dot of the picture: what it needed, and what it got. */
export interface LearnedFlight {
  readonly flightId: number;
  /** ISO 8601, by the clock of the place. */
  readonly startedAt?: string;
  readonly place?: string;
  readonly sky?: Sky;
  readonly sunElevationDegrees?: number;
  /** Median of the ND that its clips would have needed, at base ISO, in stops. */
  readonly neededStops?: number;
  /** What was noted for most of its recordings. */
  readonly fittedLabel?: string;
  readonly fittedStops?: number;
  /** Shutter on, and exposure in its window. */
  readonly landed: Share;
  /** Against published daylight, where that contradicts what is noted as fitted; + = brighter. */
  readonly contradictedStops?: number;
}

/** What was needed under one height of the sun and one sky. */
export interface LearnedCell {
  readonly sun: string;
  readonly sky: Sky | 'not noted';
  readonly flights: number;
  readonly recordings: number;
  /** The middle half of what was needed, in stops. */
  readonly neededStops?: readonly [low: number, median: number, high: number];
  /** What was fitted most, for how many recordings, and how often that landed. */
  readonly fitted?: { readonly label: string; readonly recordings: number; readonly landed: Share };
  /** What the audits would have carried most, where it is another filter. */
  readonly better?: { readonly label: string; readonly recordings: number };
}

/** The value behind `learn --json`. */
export interface LearnedReport {
  readonly format: 'halfturn-learned';
  readonly formatVersion: 2;
  readonly generatedAt: string;
  /** What to do differently: three sentences at most. */
  readonly sentences: readonly string[];
  readonly flights: readonly LearnedFlight[];
  readonly recordings: number;
  readonly cells: readonly LearnedCell[];
  readonly kit: readonly { readonly label: string; readonly stops: number }[];
  /** How the light differs from published daylight; absent where nothing was learned of it. */
  readonly light?: {
    readonly flights: number;
    readonly recordings: number;
    /** + = brighter. */
    readonly offsetStops: number;
    /** Nine of ten scenes lie this far from what is expected, or nearer. */
    readonly reachStops: number;
  };
  /** Light to expect now where was flown last; absent where that is not known, or the sun is down. */
  readonly today?: {
    readonly place?: string;
    readonly sunElevationDegrees: number;
    /** Nine of ten, at the exposure that is shot most. */
    readonly neededStops: readonly [low: number, median: number, high: number];
  };
}
