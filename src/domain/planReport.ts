import type { Sky, LightDirection } from './daylight.ts';
import type { Moment } from './localTime.ts';

/** A filter of the kit, or none, for one exposure. */
export interface PlannedChoice {
  readonly label: string;
  /** Of a variable filter, what it is to be set to. */
  readonly stops: number;
  /** Set where the filter is variable. */
  readonly isSetting?: boolean;
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
  /** That the pick or the second lands, [0, 1]. */
  readonly eitherProbability: number;
  /** Where it is too dark for any filter: the ISO at which the exposure lands without one, of lit buildings at night. */
  readonly darkIso?: number;
  /** Where no filter of the kit is strong enough: what would be. */
  readonly missingStops?: number;
  /** The pick at each moment of the plan, with its probability there. */
  readonly moments: readonly { readonly label: string; readonly probability: number }[];
  /** When to change from one pick to the next. */
  readonly swaps: readonly {
    readonly clock: string;
    readonly from: string;
    readonly to: string;
    /** Of a variable filter, what it is to be set to. */
    readonly settingStops?: number;
  }[];
}

/** The value behind `plan --json`. */
export interface PlanReport {
  readonly format: 'halfturn-plan';
  readonly formatVersion: 1;
  readonly generatedAt: string;
  readonly place?: string;
  readonly latitude?: number;
  readonly longitude?: number;
  /** Set where no place was named: it is where was flown last. */
  readonly isAtLastPlace?: true;
  readonly sky?: Sky;
  /** Where the camera looks: 0 the horizon, -90 straight down. */
  readonly pitchDegrees?: number;
  readonly timeBasis?: Moment['basis'];
  /** The zone that was named. */
  readonly zone?: string;
  /** Of the local time against UTC, + = east. */
  readonly offsetMinutes?: number;
  /** Day of the session by the local clock, yyyy-mm-dd. */
  readonly date?: string;
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
