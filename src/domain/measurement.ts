import type { MeasuredShutter } from './measuredShutter.ts';

/** How a clipped region looks: one compact, round spot (sun, lamp) or a spread-out part of the picture. */
export type ClippedShape = 'disc' | 'area';

/** A stretch of a clip, in seconds from its first frame. */
export interface ClippedSpan {
  readonly startSeconds: number;
  readonly endSeconds: number;
  readonly maxFraction: number;
}

/** Where highlights were taken to be lost. `signal` is range-expanded: 1 is the nominal peak. */
export interface Ceiling {
  readonly signal: number;
  readonly basis: 'nominal' | 'observed';
}

/** What was measured in one picture. Fractions are of its area, [0, 1]. */
export interface FrameMeasure {
  /** Presentation time from the first frame; 0 for a still. */
  readonly atSeconds: number;
  /** Luma, or all of R'G'B', at or above the ceiling: no detail is left. */
  readonly clippedFraction: number;
  /** At least one of R'G'B' at or above the ceiling: colour is wrong, detail may be left. */
  readonly channelClippedFraction: number;
  /** The largest connected clipped region. */
  readonly largestRegionFraction: number;
  readonly clippedShape?: ClippedShape;
  /** Luma at or below black. */
  readonly crushedFraction: number;
  /** Mean scene light of the picture against mid-grey (18 %), + = brighter. Absent where the transfer is unknown. */
  readonly levelStops?: number;
  /** Median image motion from this frame to the next, at recorded width; only where a pair of frames was compared. */
  readonly motionPixelsPerFrame?: number;
}

export interface MaxAndMedian {
  readonly max: number;
  readonly median: number;
}

/** What was measured in one recording's pictures. */
export interface Measurement {
  readonly framesMeasured: number;
  /** Seconds between looked-at frames; absent for stills. */
  readonly samplingStepSeconds?: number;
  readonly frames: readonly FrameMeasure[];
  readonly ceiling: Ceiling;
  readonly clippedFraction: MaxAndMedian;
  readonly channelClippedFraction: MaxAndMedian;
  readonly clippedSpans: readonly ClippedSpan[];
  /** Shape in the frame that clips most; absent where nothing clips. */
  readonly clippedShape?: ClippedShape;
  readonly crushedFraction: MaxAndMedian;
  readonly levelStops?: { readonly median: number; readonly low: number; readonly high: number };
  /** Median and 95th percentile of the image motion between consecutive frames, at recorded width. */
  readonly motionPixelsPerFrame?: { readonly median: number; readonly high: number };
  /** What motion blur tells of the shutter; absent where it was not asked for. */
  readonly shutter?: MeasuredShutter;
  /** Set when decoding ended early: what was measured up to there still stands. */
  readonly endedEarly?: { readonly atSeconds: number; readonly reason: string };
}
