import type { Overexposure } from './overexposure.ts';
import type { RangeName, ScanName } from './recording.ts';
import type { MeasuredShutter } from './shutter.ts';

/** How a clipped region looks: one compact, round spot (sun, lamp) or a spread-out part of the picture. */
export type ClippedShape = 'disc' | 'area';

/**
 * What a picture is that nobody exposed: nothing in it, part of a fade, a title or drawing or screen, or numbers of a
 * sensor of heat.
 */
export const noScenes = ['black', 'fade', 'drawing', 'raster'] as const;
export type NoScene = (typeof noScenes)[number];

/** A stretch of a clip, in seconds from its first frame. */
interface ClippedSpan {
  readonly startSeconds: number;
  readonly endSeconds: number;
  readonly maxFraction: number;
  /** The edge is off by no more than this: it lies between two frames that were looked at. 0 at an end of the clip. */
  readonly startToleranceSeconds?: number;
  readonly endToleranceSeconds?: number;
}

/** Where highlights were taken to be lost. `signal` is range-expanded: 1 is the nominal peak. */
export interface Ceiling {
  readonly signal: number;
  /** By the standard; by codes that pile up elsewhere; or by the end of video data where the picture goes on above white. */
  readonly basis: 'nominal' | 'observed' | 'super-white';
}

/** Which codes are black and white: as recorded, taken for granted, or as the codes themselves show. */
interface RangeInUse {
  readonly name: RangeName;
  readonly basis: 'recorded' | 'assumed' | 'codes';
}

/** Shares of the whole picture that lie in each third of it, as it is displayed. */
interface Thirds {
  readonly upper: number;
  readonly middle: number;
  readonly lower: number;
}

/** Share of the picture in which each channel is at the ceiling. One of them is colour lost, all three are white. */
interface BurntChannels {
  readonly red: number;
  readonly green: number;
  readonly blue: number;
}

/** Quantiles of the scene light within one picture against mid-grey, + = brighter. */
interface LightQuantiles {
  readonly p5: number;
  readonly p50: number;
  readonly p95: number;
}

/** Image motion in words that compare resolutions. */
interface MotionSummary {
  readonly widthsPerSecond: { readonly median: number; readonly high: number };
  /** Where the picture content moves, clockwise: 0 up, 90 to the right; absent where tiles disagree or nothing moves. */
  readonly directionDegrees?: number;
  /** Tiles that could be followed, of those looked at. The rest is sky, water or too far gone. */
  readonly followedTiles: number;
  readonly tiles: number;
}

/** What was measured in one picture. Fractions are of its area without a black frame around it, [0, 1]. */
export interface FrameMeasure {
  /** Presentation time from the first frame; 0 for a still. */
  readonly atSeconds: number;
  /** Absent where the picture is taken for a scene; then it has no light to be judged. */
  readonly noScene?: NoScene;
  /** Luma, or all of R'G'B', at or above the ceiling: no detail is left. */
  readonly clippedFraction: number;
  /** At least one of R'G'B' at or above the ceiling: colour is wrong, detail may be left. */
  readonly channelClippedFraction: number;
  /** The largest connected clipped region. */
  readonly largestRegionFraction: number;
  readonly clippedShape?: ClippedShape;
  /** Separate round spots, where the shape is a disc. */
  readonly clippedSpots?: number;
  readonly clippedThirds?: Thirds;
  readonly burntChannels?: BurntChannels;
  /** Luma at or below black. */
  readonly crushedFraction: number;
  /** Mean of the picture by the standard curve against mid-grey (18%), + = brighter. Absent where the curve is unknown. */
  readonly levelStops?: number;
  readonly lightQuantilesStops?: LightQuantiles;
  /** How much brighter the picture could have been before its brightest thousandth reached the ceiling. */
  readonly headroomStops?: number;
  /** Median image motion from this frame to the next, at recorded width; only where a pair of frames was compared. */
  readonly motionPixelsPerFrame?: number;
}

interface MaxAndMedian {
  readonly max: number;
  readonly median: number;
}

/**
 * Why more pictures of a clip were looked at than a first look takes. `no-short-cut`: single pictures cost no less than
 * all, as key frames lie far apart or the container has no table of them; `copy-differs`: pictures of the low-resolution
 * copy differ; the others are what the first look showed.
 */
export const closerReasons = [
  'no-short-cut',
  'copy-differs',
  'few-pictures',
  'long-clip',
  'settings-change',
  'pictures-differ',
  'share-near-limit',
  'level-near-limit',
  'motion-near-limit',
] as const;
export type CloserReason = (typeof closerReasons)[number];

/** What was measured in one recording's pictures. */
export interface Measurement {
  readonly framesMeasured: number;
  /** Absent where a first look decided, and where every key frame was asked for. */
  readonly lookedCloserBecause?: readonly CloserReason[];
  /** Pictures of the camera's low-resolution copy that showed where to look. No number here is theirs. */
  readonly scoutedFrames?: number;
  /** Seconds between looked-at frames; absent for stills. */
  readonly samplingStepSeconds?: number;
  readonly frames: readonly FrameMeasure[];
  /** Set where not one picture is a scene: what most of them are. Else those that are none count in nothing below. */
  readonly noScene?: NoScene;
  /** The picture inside of a black frame; `fraction` of all. Absent where the whole picture was measured. */
  readonly pictureArea?: { readonly shape: 'bars' | 'circle'; readonly fraction: number };
  readonly ceiling: Ceiling;
  readonly clippedFraction: MaxAndMedian;
  readonly channelClippedFraction: MaxAndMedian;
  readonly clippedSpans: readonly ClippedSpan[];
  /** Shape in the frame that clips most; absent where nothing clips. */
  readonly clippedShape?: ClippedShape;
  /** In the frame that clips most. */
  readonly clippedThirds?: Thirds;
  readonly clippedSpots?: number;
  readonly largestRegionFraction?: number;
  /** In the frame in which most channels are lost. */
  readonly burntChannels?: BurntChannels;
  readonly rangeInUse?: RangeInUse;
  /** Of the typical frame. */
  readonly lightQuantilesStops?: LightQuantiles;
  /** How much brighter the brightest frame could have been; 0 where something is lost. */
  readonly headroomStops?: number;
  readonly overexposure?: Overexposure;
  readonly motion?: MotionSummary;
  /** Spread of the level of consecutive frames that follows no trend, as a standard deviation. */
  readonly flickerStops?: number;
  readonly crushedFraction: MaxAndMedian;
  readonly levelStops?: { readonly median: number; readonly low: number; readonly high: number };
  /** Median and 95th percentile of the image motion between consecutive frames, at recorded width. */
  readonly motionPixelsPerFrame?: { readonly median: number; readonly high: number };
  /** What motion blur tells of the shutter; absent where it was not asked for. */
  readonly shutter?: MeasuredShutter;
  /** Of pictures in fields, where it could be told when each field was taken. */
  readonly scan?: Exclude<ScanName, 'fields'>;
  /** Set when decoding ended early: what was measured up to there still stands. */
  readonly endedEarly?: {
    /** 0 for a still. */
    readonly atSeconds: number;
    readonly reason: string;
    /** Of a still: the share of the picture that could be read. */
    readonly readFraction?: number;
    /** What the decoder said, in its own words. */
    readonly detail?: string;
  };
}

/*
 * Small pictures of what was measured, for the page only. They stand beside the audit document and are never part of
 * it: a document stays small, and a report can be written again without them.
 */

/** One frame, small enough to be shown in a page. */
export interface SmallPicture {
  /** Presentation time from the first frame; 0 for a still. */
  readonly atSeconds: number;
  readonly width: number;
  readonly height: number;
  readonly type: 'image/webp';
  /** Of `bytes`, known without asking for them; of a burnt picture together with its stripes. */
  readonly sizeBytes: number;
  readonly bytes: Uint8Array;
}

/** The frame that clips most, and a picture of the same size that is striped where it clips and clear elsewhere. */
export interface BurntPicture extends SmallPicture {
  readonly stripes: Uint8Array;
  readonly stripesType: 'image/png';
}

export interface RecordingPictures {
  /** The path of the recording in the audit document. */
  readonly path: string;
  /** In the order of time, evenly spread; one for a still. */
  readonly frames: readonly SmallPicture[];
  /** Absent where nothing clips. */
  readonly burnt?: BurntPicture;
}
