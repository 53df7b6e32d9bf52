import type { Sky } from './daylight.ts';
import type { TimeBasis } from './localTime.ts';
import type { RecordingKind } from './recording.ts';
import type { ShutterVerdict } from './shutter.ts';

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
  /** Against the target, - = shorter. */
  readonly shutterOffsetStops?: number;
  /** Of the frame that clips most, [0, 1]. */
  readonly clippedFraction?: number;
  readonly fitted?: LoggedFilter;
  /** Total ND that would have been right. */
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

/** One flight with its recordings, as it goes into the logbook and out of it. */
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

/** Facts, measures and findings as the audit reported them; entering looks at the findings. */
export interface RecordingDetail {
  readonly findings?: readonly { readonly kind: string; readonly weight: string }[];
  readonly [part: string]: unknown;
}

/** A recording with what learning does not look at. */
export interface LoggedRecordingWhole extends LoggedRecording {
  readonly detail: RecordingDetail;
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

/** What entering came to: flights, recordings that are new to the logbook, and the others. */
export interface EntryResult {
  readonly flights: number;
  readonly entered: number;
  /** Recordings that the logbook knew already; what is known of them was brought up to date. */
  readonly known: number;
  /** Of those, the ones whose filter was another one before. */
  readonly corrected: number;
  /** Of all, the ones whose filter stands in the logbook now. */
  readonly withFilter: number;
}

export interface EnterOptions {
  /**
   * Whether those who entered said which filters were fitted. What stands in the logbook then gives way, also where they
   * left a recording out; else it stays.
   */
  readonly saysFilters?: boolean;
}
