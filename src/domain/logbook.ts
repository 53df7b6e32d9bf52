import type { Sky } from './daylight.ts';
import type { RecordingKind } from './recording.ts';
import type { ShutterVerdict } from './report.ts';
import type { LightDirection } from './sun.ts';

/** How a local time was turned into UTC: by its recorded offset, by this computer's zone, or by the longitude. */
export type TimeBasis = 'recorded' | 'computer-zone' | 'longitude-zone';

/** A filter as it was known when the flight was entered. Strength by its label, whatever was learned since. */
export interface LoggedFilter {
  readonly label: string;
  readonly labelStops: number;
}

/** What the logbook keeps of one recording for learning. Absent means unknown. */
export interface LoggedRecording {
  /** The same for copies of one recording, wherever they lie. */
  readonly fingerprint: string;
  readonly path: string;
  readonly kind: RecordingKind;
  readonly recordedAt?: string;
  /** Milliseconds since 1970 in UTC. */
  readonly atMs?: number;
  readonly timeBasis?: TimeBasis;
  readonly camera?: string;
  readonly framesPerSecond?: number;
  readonly exposureSeconds?: number;
  readonly fNumber?: number;
  readonly iso?: number;
  /** Light that came through the filter: EV at ISO 100 of the settings plus what the exposure was over. */
  readonly sensorEv100?: number;
  /** Exposure against what was wanted, + = over. */
  readonly offsetStops?: number;
  readonly offsetBasis?: 'metered' | 'picture';
  readonly inWindow?: boolean;
  readonly shutterVerdict?: ShutterVerdict;
  readonly shutterOffsetStops?: number;
  readonly clippedFraction?: number;
  readonly fitted?: LoggedFilter;
  readonly neededStops?: number;
  /** Light still to be taken away against what was fitted, - = too much was taken. */
  readonly additionalStops?: number;
  /** What the audit would have carried; `none` is a choice as well. */
  readonly pickLabel?: string;
  readonly latitude?: number;
  readonly longitude?: number;
  readonly headingDegrees?: number;
  readonly sunElevationDegrees?: number;
  readonly sunAzimuthDegrees?: number;
}

export interface LoggedFlight {
  readonly enteredAt: string;
  /** The dump as it was given. */
  readonly dump: string;
  readonly startedAt?: string;
  readonly endedAt?: string;
  readonly place?: string;
  readonly latitude?: number;
  readonly longitude?: number;
  readonly sky?: Sky;
  /** The flight notes as they were written. */
  readonly notes?: string;
  readonly recordings: readonly LoggedRecordingWhole[];
}

/** With facts, measures and findings as the audit reported them. */
export interface LoggedRecordingWhole extends LoggedRecording {
  readonly detail: Readonly<Record<string, unknown>>;
}

/** What learning looks at, beside what is known of the flight. */
export interface LoggedObservation extends Pick<
  LoggedRecording,
  | 'kind'
  | 'recordedAt'
  | 'atMs'
  | 'camera'
  | 'sensorEv100'
  | 'offsetBasis'
  | 'inWindow'
  | 'shutterVerdict'
  | 'fitted'
  | 'additionalStops'
  | 'pickLabel'
  | 'headingDegrees'
  | 'sunElevationDegrees'
  | 'sunAzimuthDegrees'
> {
  readonly flightId: number;
  readonly place?: string;
  readonly sky?: Sky;
}

/** A flight in one line. */
export interface FlightSummary {
  readonly id: number;
  readonly enteredAt: string;
  readonly dump: string;
  readonly startedAt?: string;
  readonly endedAt?: string;
  readonly place?: string;
  readonly sky?: Sky;
  readonly clips: number;
  readonly stills: number;
  /** Labels of the filters that were fitted, in the order of use. */
  readonly filters: readonly string[];
}

export interface EntryResult {
  readonly flights: number;
  readonly entered: number;
  /** Recordings that the logbook knew already; what is known of them was brought up to date. */
  readonly known: number;
}

export interface SceneConditions {
  readonly elevationDegrees: number;
  readonly sky?: Sky | undefined;
  readonly direction?: LightDirection | undefined;
  readonly camera?: string | undefined;
  readonly place?: string | undefined;
}

/** What was learned of one part of the light, against what was expected before. Stops, + = brighter. */
export interface LearnedEffect {
  readonly name: string;
  readonly priorStops: number;
  readonly learnedStops: number;
  /** Holds with 90 %. */
  readonly interval: readonly [number, number];
  readonly observations: number;
}

export interface LearnedScene {
  readonly observations: number;
  readonly flights: number;
  /** Standard deviation of one recording around its flight, and of a flight around what its conditions say. */
  readonly recordingSpreadStops: number;
  readonly flightSpreadStops: number;
  readonly effects: readonly LearnedEffect[];
}

/** How strong a filter really is, from pairs of recordings under the same light. */
export interface FilterStrength {
  readonly label: string;
  readonly labelStops: number;
  readonly stops: number;
  /** Holds with 95 %. */
  readonly interval: readonly [number, number];
  readonly spreadStops: number;
  readonly pairs: number;
  readonly flights: number;
  /** Pairs that were left out because they miss the labels so far that a note must be wrong. */
  readonly leftOut: number;
  /** Enough pairs of enough flights, a narrow interval, and the label lies outside it: advice uses it. */
  readonly supported: boolean;
}

/** How often something was right, of what is known. */
export interface Share {
  readonly of: number;
  readonly right: number;
}

export interface FilterGroup {
  readonly by: 'light' | 'direction' | 'sky' | 'month' | 'year';
  readonly value: string;
  readonly recordings: number;
  readonly shutter: Share;
  readonly exposure: Share;
  readonly missStops?: number;
}

export interface LearnedFilter {
  readonly label: string;
  readonly flights: number;
  readonly clips: number;
  readonly stills: number;
  readonly shutter: Share;
  readonly exposure: Share;
  /** Median of the light that it left to be taken away, + = the filter was too weak. */
  readonly missStops?: number;
  /** What the audits would have carried instead, the most frequent first. */
  readonly better: readonly { readonly label: string; readonly recordings: number }[];
  /** By light, direction and sky. */
  readonly groups: readonly FilterGroup[];
  /** By month, or by year where there are more than two of them. */
  readonly trend: readonly FilterGroup[];
}

/** The value behind `learn --json`. */
export interface LearnedReport {
  readonly format: 'halfturn-learned';
  readonly formatVersion: 1;
  readonly generatedAt: string;
  readonly flights: number;
  readonly recordings: number;
  readonly filters: readonly LearnedFilter[];
  readonly strengths: readonly FilterStrength[];
  readonly scene: LearnedScene;
}

export interface PlannedChoice {
  readonly label: string;
  readonly stops: number;
  readonly calibrated: boolean;
  /** That shutter and exposure both land, at the start. */
  readonly probability: number;
}

export interface PlannedMoment {
  /** Absent on a card by the height of the sun. */
  readonly atMs?: number;
  readonly clock?: string;
  readonly elevationDegrees: number;
  readonly azimuthDegrees?: number;
  readonly direction?: LightDirection;
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
  readonly timeBasis?: TimeBasis;
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
