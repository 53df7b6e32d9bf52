import type { MeasuredStrength } from './kit.ts';
import type { Note, Problem } from './recording.ts';
import type { ReportedFilter, ReportedFinding, ReportedRecording } from './reportedRecording.ts';

/** The audit document: the value behind `audit.json` and `--json`, plain JSON throughout. Absent means unknown. */
export interface AuditDocument {
  readonly format: 'halfturn-audit';
  readonly formatVersion: 1;
  readonly generatedAt: string;
  /** The dump as it was given. */
  readonly dump: string;
  readonly settings: ReportedSettings;
  readonly recordings: readonly ReportedRecording[];
  readonly sequences: readonly ReportedSequence[];
  readonly problems: readonly Problem[];
  /** Files that were recognised and left alone, counted by what they are. */
  readonly leftAside: Readonly<Record<string, number>>;
  /** What was done with single files, where the counts do not say enough; absent where there is nothing to say. */
  readonly notes?: readonly Note[];
  readonly cautions: readonly string[];
}

export interface ReportedSettings {
  readonly shutterAngleDegrees: number;
  readonly shutterToleranceStops: number;
  readonly baseIso: number;
  readonly windowStops: readonly [number, number];
  readonly clippedFraction: number;
  readonly measure: 'off' | 'sampled' | 'every';
  readonly kit: readonly ReportedKitFilter[];
  readonly longestExposureSeconds?: number;
  readonly secondBaseIso?: number;
  /** True when the pilot named no filters and common strengths were assumed. */
  readonly kitAssumed: boolean;
}

export interface ReportedKitFilter {
  readonly label: string;
  /** Of a variable filter, its weakest setting. */
  readonly stops: number;
  readonly rangeStops?: readonly [number, number];
  readonly polariser?: boolean;
  /** Owned, and never counted. */
  readonly graduated?: boolean;
  /** Set where the logbook found another strength than the label says; `stops` is that one. */
  readonly measured?: MeasuredStrength;
}

/** How long a series plays at a common rate. */
export interface ReportedPlayback {
  readonly framesPerSecond: number;
  readonly seconds: number;
}

export interface ReportedSequence {
  readonly kind: 'bracket' | 'interval';
  readonly paths: readonly string[];
  /** Of a bracket: each frame against the normal one, + = brighter. */
  readonly stepsStops?: readonly number[];
  /** Of a bracket: from the darkest to the brightest frame. */
  readonly spanStops?: number;
  readonly intervalSeconds?: number;
  /** Of an interval series: 360 x exposure / interval. */
  readonly angleDegrees?: number;
  readonly exposureSeconds?: number;
  /** The exposure that its interval wants. */
  readonly targetSeconds?: number;
  /** Frames that the interval promises and that are not there. */
  readonly missingFrames?: number;
  readonly playback?: readonly ReportedPlayback[];
  readonly filter?: ReportedFilter;
  readonly findings: readonly ReportedFinding[];
}
