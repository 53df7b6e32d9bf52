import type { ExposureBasis, FindingKind, FindingWeight } from './finding.ts';
import type { FilterChange, FilterPick } from './advice.ts';
import type { FittedFilter } from './kit.ts';
import type { MeasuredShutter } from './measuredShutter.ts';
import type { Ceiling, ClippedShape, ClippedSpan, MaxAndMedian } from './measurement.ts';
import type {
  Fact,
  FactName,
  FactValues,
  Note,
  Problem,
  RecordingKind,
  Refusal,
  TrackSample,
} from './recording.ts';

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
  readonly kit: readonly { readonly label: string; readonly stops: number }[];
  /** True when the pilot named no filters and common strengths were assumed. */
  readonly kitAssumed: boolean;
}

/** Facts as reported: rates are numbers here, and `framesPerSecond` is the capture rate. */
export type ReportedFacts = {
  readonly [N in Exclude<FactName, 'frameRate' | 'playbackFrameRate'>]?: Fact<FactValues[N]>;
} & { readonly framesPerSecond?: Fact<number>; readonly playbackFramesPerSecond?: Fact<number> };

export interface MinMedianMax {
  readonly min: number;
  readonly median: number;
  readonly max: number;
}

export interface ReportedTrack {
  readonly source: string;
  /** How many samples were read. */
  readonly samples: number;
  readonly exposureSeconds?: MinMedianMax;
  readonly iso?: MinMedianMax;
  readonly meteredOffsetStops?: MinMedianMax;
  /** The time line, thinned to at most 600 entries. */
  readonly timeline: readonly TrackSample[];
}

export type ShutterVerdict = 'on' | 'short' | 'long' | 'unknown';

export interface ReportedShutter {
  readonly verdict: ShutterVerdict;
  readonly angleDegrees?: number;
  /** log2(angle / target), - = shorter than the target. */
  readonly offsetStops?: number;
  readonly basis?: 'recorded' | 'picture';
  readonly interval?: { readonly lowDegrees: number; readonly highDegrees: number };
  /** What the motion blur tells, where it was looked at. */
  readonly blur?: MeasuredShutter;
  /** Would anyone see it at the motion measured. */
  readonly matters: 'yes' | 'no' | 'unknown';
}

/** One looked-at frame of a clip, as far as a plot over time needs it. */
export interface ReportedFrame {
  readonly atSeconds: number;
  readonly clippedFraction: number;
  readonly levelStops?: number;
  readonly motionPixelsPerFrame?: number;
}

export interface ReportedPicture {
  readonly framesMeasured: number;
  /** The looked-at frames of a clip, thinned to at most 200: of each stretch the one that clips most. */
  readonly frames?: readonly ReportedFrame[];
  readonly samplingStepSeconds?: number;
  readonly ceiling: Ceiling;
  readonly clippedFraction: MaxAndMedian;
  readonly channelClippedFraction: MaxAndMedian;
  readonly clippedSpans: readonly ClippedSpan[];
  readonly clippedShape?: ClippedShape;
  readonly crushedFraction: MaxAndMedian;
  readonly levelStops?: { readonly median: number; readonly low: number; readonly high: number };
  readonly motionPixelsPerFrame?: { readonly median: number; readonly high: number };
}

export interface ReportedExposure {
  /** EV at ISO 100 of the recorded settings. */
  readonly ev100?: number;
  /** The light on the scene: adds the fitted filter and the exposure offset where they are known. */
  readonly sceneEv100?: number;
  readonly offsetStops?: number;
  readonly basis?: ExposureBasis;
}

export interface ReportedFilter {
  readonly fitted?: FittedFilter;
  readonly neededStops?: number;
  /** Light still to be taken away against what was fitted; negative = too much was taken. */
  readonly additionalStops?: number;
  readonly change?: FilterChange;
  readonly pick?: FilterPick;
  /** True where nobody said what was fitted: the pick holds if nothing was, else on top of what was. */
  readonly assumesNothingFitted?: boolean;
  /** True where no ISO was recorded: the advice takes it as unchanged. */
  readonly keepsIso?: boolean;
  readonly basis?: string;
  readonly uncertaintyStops?: number;
  readonly otherwise: readonly string[];
}

export interface ReportedFinding {
  readonly kind: FindingKind;
  readonly weight: FindingWeight;
  readonly text: string;
  /** What can be done about it in the edit, as sentences. */
  readonly inTheEdit?: string;
  /** What to do at the next flight, as sentences. */
  readonly nextTime?: string;
  readonly startSeconds?: number;
  readonly endSeconds?: number;
}

export interface ReportedRecording {
  readonly path: string;
  readonly kind: RecordingKind;
  readonly sizeBytes: number;
  readonly sidecars: readonly string[];
  /** 32 hex digits that copies of one recording share, wherever they lie. */
  readonly fingerprint?: string;
  /** Paths of copies, which are not audited for themselves. */
  readonly copies?: readonly string[];
  /** Path of the clip that this one goes on after it reached the largest size that the card can hold. */
  readonly continues?: string;
  readonly facts: ReportedFacts;
  readonly track?: ReportedTrack;
  readonly shutter?: ReportedShutter;
  readonly picture?: ReportedPicture;
  readonly exposure: ReportedExposure;
  readonly filter?: ReportedFilter;
  readonly findings: readonly ReportedFinding[];
  readonly refusals: readonly Refusal[];
}

export interface ReportedSequence {
  readonly kind: 'bracket' | 'interval';
  readonly paths: readonly string[];
  readonly stepsStops?: readonly number[];
  readonly intervalSeconds?: number;
  readonly angleDegrees?: number;
  readonly findings: readonly ReportedFinding[];
}
