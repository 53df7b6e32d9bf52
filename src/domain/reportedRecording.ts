import type { FilterAdvice, FilterChange, FilterPick, HighlightsWant } from './advice.ts';
import type { ExposureBasis, FindingKind, FindingWeight } from './finding.ts';
import type { FittedFilter } from './kit.ts';
import type { MeasuredShutter } from './measuredShutter.ts';
import type {
  BurntChannels,
  Ceiling,
  ClippedShape,
  ClippedSpan,
  LightQuantiles,
  MaxAndMedian,
  MotionSummary,
  Overexposure,
  RangeInUse,
  Thirds,
} from './measurement.ts';
import type { Fact, FactName, FactValues, RecordingKind, Refusal, TrackSample } from './recording.ts';

// What the audit document says of one recording; report.ts is the document round it.

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
  /** The time line, thinned to at most 600 entries, and to fewer where a document holds more than 33 clips. */
  readonly timeline: readonly TrackSample[];
}

export type ShutterVerdict = 'on' | 'short' | 'long' | 'unknown';

export interface ReportedShutter {
  readonly verdict: ShutterVerdict;
  readonly angleDegrees?: number;
  /** log2(angle / target), - = shorter than the target. */
  readonly offsetStops?: number;
  readonly basis?: 'recorded' | 'picture';
  /** Only where pictures are in fields: on the field where each has its own moment, else on the frame. */
  readonly countedOn?: 'frame' | 'field';
  /** Where that could not be told: the angle counted on the frame, and on the field. */
  readonly either?: { readonly onFrameDegrees: number; readonly onFieldDegrees: number };
  readonly interval?: { readonly lowDegrees: number; readonly highDegrees: number };
  /** What the motion blur tells, where it was looked at. */
  readonly blur?: MeasuredShutter;
  /** Would anyone see it at the motion measured. */
  readonly matters: 'yes' | 'no' | 'unknown';
  /** The gap of a short shutter, or the blur of a long one, at that motion, and how much of it passes. */
  readonly seen?: { readonly seenFractionOfWidth: number; readonly passableFractionOfWidth: number };
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
  /**
   * The looked-at frames of a clip, thinned to at most 200, and to fewer where a document holds more than 100 clips: of
   * each stretch the one that clips most.
   */
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
  /** Which codes were taken for black and white. */
  readonly rangeInUse?: RangeInUse;
  /** Of the frame that clips most: its largest connected part, where in the picture it clips, how many round spots. */
  readonly largestRegionFraction?: number;
  readonly clippedThirds?: Thirds;
  readonly clippedSpots?: number;
  /** Share of the picture in which each channel is lost, in the frame that loses most. */
  readonly burntChannels?: BurntChannels;
  /** Scene light of the typical frame against mid-grey: its darkest and brightest twentieth and its middle. */
  readonly lightQuantilesStops?: LightQuantiles;
  /** How much brighter the brightest frame could have been. */
  readonly headroomStops?: number;
  readonly overexposure?: Overexposure;
  readonly motion?: MotionSummary;
  readonly flickerStops?: number;
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
  /** The same for the darkest part that lasts, where the light changed. */
  readonly darkestNeededStops?: number;
  /** Light still to be taken away against what was fitted; negative = too much was taken. */
  readonly additionalStops?: number;
  /** How much brighter the brightest part that lasts is than the darkest, where the light changed. */
  readonly lightSpanStops?: number;
  /** Set where the highlights moved the advice away from what the meter alone asks for. */
  readonly highlights?: HighlightsWant;
  /** Both, where they differ by more than the subject explains. */
  readonly meterAndPicture?: NonNullable<FilterAdvice['meterAndPicture']>;
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
  /** More exactly, often in the words of another program; told of one file by itself, and in the document. */
  readonly detail?: string;
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
