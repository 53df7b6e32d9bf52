import type { Sky, LightDirection } from './daylight.ts';
import type { Moment } from './localTime.ts';

/** A filter of the kit, or none, for one exposure. */
interface PlannedChoice {
  readonly label: string;
  readonly stops: number;
  /** Its strength is the one that the logbook found, not the label's. */
  readonly calibrated: boolean;
  /** That shutter and exposure both land, at the start; [0, 1]. */
  readonly probability: number;
}

interface PlannedMoment {
  /** Absent on a card by the height of the sun. */
  readonly atMs?: number;
  /** Local time, hh:mm. */
  readonly clock?: string;
  readonly elevationDegrees: number;
  readonly azimuthDegrees?: number;
  readonly direction?: LightDirection;
  /** EV at ISO 100; nine of ten such scenes lie from low to high. */
  readonly sceneEv100: { readonly median: number; readonly low: number; readonly high: number };
}

/** One exposure to plan for: of video, or a long one. */
export interface PlannedExposure {
  readonly framesPerSecond?: number;
  readonly intervalSeconds?: number;
  readonly targetSeconds: number;
  /** All owned filters and none, the most likely first. */
  readonly choices: readonly PlannedChoice[];
  readonly pick: PlannedChoice;
  /** What most often lands where the pick does not. */
  readonly second?: PlannedChoice;
  /** The pick at each moment of the plan, with its probability there. */
  readonly moments: readonly { readonly label: string; readonly probability: number }[];
  /** When to change from one pick to the next. */
  readonly swaps: readonly { readonly clock: string; readonly from: string; readonly to: string }[];
}

/** The value behind `plan --json`. */
export interface PlanReport {
  readonly format: 'halfturn-plan';
  readonly formatVersion: 1;
  readonly generatedAt: string;
  readonly place?: string;
  readonly latitude?: number;
  readonly longitude?: number;
  readonly sky?: Sky;
  readonly timeBasis?: Moment['basis'];
  /** Of the local time against UTC, + = east. */
  readonly offsetMinutes?: number;
  /** Local time of the next sunset; absent where there is none within a day. */
  readonly sunsetClock?: string;
  readonly camera?: string;
  readonly fNumber: number;
  readonly iso: number;
  readonly moments: readonly PlannedMoment[];
  readonly exposures: readonly PlannedExposure[];
  /** What it rests on: recordings with a known filter, and the flights they are from. */
  readonly observations: number;
  readonly flights: number;
}
