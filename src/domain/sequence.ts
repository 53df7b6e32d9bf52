import { settingsOf, settingsStops } from './exposure.ts';
import type { Facts, Recording } from './recording.ts';

interface Members {
  /** In the order in which they were taken. */
  readonly members: readonly Recording[];
}

export interface Bracket extends Members {
  readonly kind: 'bracket';
  /** File numbers that no file of the card has; absent where the names carry no numbers. */
  readonly skippedNumbers?: {
    readonly before: number;
    readonly inside: number;
    readonly after: number;
  };
}

/** A time-lapse that was meant. */
export interface IntervalSeries extends Members {
  readonly kind: 'interval';
  readonly intervalSeconds: number;
  /** Frames that were due before each member and are not there; 0 for the first. */
  readonly missingBefore: readonly number[];
  /** What says that it was meant. */
  readonly sign: 'notes' | 'long-exposures' | 'playing-time';
}

/** Pictures of the ground from a moving aircraft, to be put together to a map or a model. */
export interface MappingFlight extends Members {
  readonly kind: 'mapping';
  /** Usual way between two pictures. */
  readonly stepMetres: number;
  readonly speedMetresPerSecond: number;
  /** Over the start. */
  readonly heightMetres?: number;
  readonly pitchDegrees?: number;
  /** Whether it went back and forth. */
  readonly isInLines: boolean;
}

export interface Burst extends Members {
  readonly kind: 'burst';
  readonly picturesPerSecond: number;
}

export interface Panorama extends Members {
  readonly kind: 'panorama';
  /** Between the first and the last direction, the way that the camera turned; > 0. */
  readonly turnDegrees: number;
  /** Usual turn between two pictures; > 0. */
  readonly stepDegrees: number;
}

/** Stills that belong together by what was done. */
export type StillSequence = Bracket | IntervalSeries | MappingFlight | Burst | Panorama;

/**
 * Share of the target exposure from which motion in a series flows: 1.5 s of 5 s is 0.6 of the half; common practice, no
 * source.
 */
export const flowingShare = 0.6;

/** Rates at which series are played, in frames/s; BT.709 names them. */
export const playbackRates: readonly number[] = [24, 25, 30, 60];

/**
 * Light that a still's settings let in, against that of another one.
 * @returns stops, + = brighter; undefined where no exposure time was recorded
 * @example stillStops({ exposureSeconds: { value: 1 / 2, source: 'x' }, fNumber: { value: 2, source: 'x' } }) // -3
 */
export function stillStops(facts: Facts): number | undefined {
  return facts.exposureSeconds && settingsStops(settingsOf(facts));
}
