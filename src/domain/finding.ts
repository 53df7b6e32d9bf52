import type { ClippedShape } from './measurement.ts';
import type { ShutterReason } from './shutter.ts';
import type { FactName, RangeName, Refusal } from './recording.ts';

/** `high` and `medium` flag a recording (and end `--strict` with 1); `low` is a remark. */
export type FindingWeight = 'high' | 'medium' | 'low';

/** A finding that belongs to a part of a clip, in seconds from its first frame. */
interface Spanned {
  readonly startSeconds?: number;
  readonly endSeconds?: number;
}

/** Everything an audit can say about one recording. The sentences stand in report/wording.ts. */
export type Finding = { readonly weight: FindingWeight } & Spanned &
  (
    | {
        readonly kind: 'shutter-short' | 'shutter-long' | 'shutter-edge';
        /** 95% interval of the angle, where it was measured from motion blur. */
        readonly interval?: { readonly lowDegrees: number; readonly highDegrees: number };
        readonly exposureSeconds: number;
        readonly targetSeconds: number;
        readonly angleDegrees: number;
        readonly offsetStops: number;
        /** Set where the pictures are interlaced and the angle is one of a field. */
        readonly countedOn?: 'field';
      }
    | {
        readonly kind: 'shutter-impossible';
        readonly exposureSeconds: number;
        readonly frameSeconds: number;
        readonly countedOn?: 'field';
      }
    | {
        /** Pictures in fields, and nothing tells whether each field has a moment of its own. */
        readonly kind: 'shutter-field-or-frame';
        readonly exposureSeconds: number;
        readonly onFrameDegrees: number;
        readonly onFieldDegrees: number;
      }
    | {
        readonly kind: 'shutter-unknown';
        /** `unread-track`: it may have been recorded where it cannot be read; `believable-exposure`: it cannot be true. */
        readonly missing: 'exposure' | 'frame-rate' | 'unread-track' | 'believable-exposure';
        /** With `unread-track`: what could not be read, each with its article. */
        readonly tracks?: readonly string[];
        /** With `believable-exposure`: what was recorded and where, and why it is not believed. */
        readonly refused?: Pick<Refusal, 'raw' | 'source' | 'reason'>;
        /** Why the motion blur does not tell it either; absent where it was not looked at. */
        readonly blurReason?: ShutterReason;
      }
    | {
        readonly kind: 'shutter-short-by-blur';
        /** The angle was at most this, with 95%. */
        readonly highDegrees: number;
        readonly targetDegrees: number;
      }
    | {
        readonly kind: 'shutter-contradicted';
        readonly recordedDegrees: number;
        readonly lowDegrees: number;
        readonly highDegrees: number;
      }
    | {
        readonly kind: 'highlights-clipped';
        readonly maxFraction: number;
        readonly medianFraction: number;
        readonly spanCount: number;
      }
    | { readonly kind: 'disc-clipped'; readonly maxFraction: number; readonly shape: ClippedShape }
    | { readonly kind: 'shadows-crushed'; readonly maxFraction: number }
    | {
        readonly kind: 'too-bright' | 'too-dark';
        readonly offsetStops: number;
        readonly basis: ExposureBasis;
        /** Taken off the offset, because the curve leaves open where white lies; absent where nothing was. */
        readonly leftOutStops?: number;
        /** Set where nobody recorded the curve that brightness was read by. */
        readonly curveIsAssumed?: boolean;
      }
    | {
        readonly kind: 'iso-raised';
        readonly iso: number;
        readonly baseIso: number;
        readonly overStops: number;
      }
    | { readonly kind: 'exposure-drifts'; readonly rangeStops: number }
    | {
        readonly kind: 'exposure-pumps';
        /** Ways up and down. */
        readonly swings: number;
        readonly largestStops: number;
        readonly basis: 'recorded' | 'picture';
      }
    | {
        readonly kind: 'flicker';
        /** Standard deviation from frame to frame. */
        readonly flickerStops: number;
        /** The mains that explain it, where they do. */
        readonly mainsHertz?: number;
        readonly safeExposuresSeconds?: readonly number[];
      }
    | { readonly kind: 'range-contradicted'; readonly recorded: RangeName; readonly used: RangeName }
    | {
        readonly kind: 'sources-disagree';
        readonly fact: FactName;
        readonly chosen: string;
        readonly other: string;
      }
    | {
        readonly kind: 'uneven-frames';
        readonly timing: 'variable' | 'repeating';
        /** Share of the looked-at gaps between frames that differ from the usual one, where it was counted. */
        readonly irregularFraction?: number;
      }
    | { readonly kind: 'split-part'; readonly continuesPath: string }
    | {
        readonly kind: 'slow-motion';
        readonly captureFramesPerSecond: number;
        readonly playbackFramesPerSecond: number;
      }
    | {
        readonly kind: 'frame-rate-mix';
        readonly framesPerSecond: number;
        /** The rate that most clips of the flight can be cut at. */
        readonly commonFramesPerSecond: number;
      }
    | {
        /** The light fits a lens without the filter that is said to have been on. */
        readonly kind: 'filter-forgotten';
        readonly label: string;
        readonly filterStops: number;
        /** How much brighter the scene would have to have been than at the recordings around it. */
        readonly brighterStops: number;
      }
    | {
        /** The light fits another strength than the one that is said to have been on. */
        readonly kind: 'filter-contradicted';
        readonly label: string;
        readonly filterStops: number;
        readonly lightStops: number;
      }
    | { readonly kind: 'bracket-frame-missing'; readonly frames: number; readonly missing: MissingFrame }
    | { readonly kind: 'bracket-uneven'; readonly smallestStops: number; readonly largestStops: number }
    | { readonly kind: 'bracket-settings-change'; readonly settings: readonly ('aperture' | 'ISO')[] }
    | { readonly kind: 'bracket-highlights-lost' | 'bracket-shadows-lost'; readonly fraction: number }
    | {
        readonly kind: 'series-exposure-short';
        readonly exposureSeconds: number;
        readonly intervalSeconds: number;
        readonly targetSeconds: number;
        readonly camera: CameraMotion;
        /** Share of the picture that the burnt sun (or lamp) covers, where there is one. */
        readonly discFraction?: number;
      }
    | {
        readonly kind: 'series-frames-dropped';
        readonly missingFrames: number;
        readonly gaps: number;
        readonly longestGapSeconds: number;
      }
    | { readonly kind: 'series-exposure-steps'; readonly count: number; readonly largestStops: number }
    | {
        readonly kind: 'series-highlights-clipped';
        readonly frames: number;
        readonly ofFrames: number;
        readonly maxFraction: number;
      }
    | {
        readonly kind: 'series-too-bright' | 'series-too-dark';
        readonly offsetStops: number;
        readonly basis: ExposureBasis;
        /** Taken off the offset, because the curve leaves open where white lies; absent where nothing was. */
        readonly leftOutStops?: number;
      }
    | {
        readonly kind: 'decoded-in-part';
        /** 0 for a still. */
        readonly atSeconds: number;
        readonly reason: string;
        /** Of a still: the share of the picture that could be read. */
        readonly readFraction?: number;
        /** What the decoder said, in its own words. */
        readonly detail?: string;
      }
  );

export type FindingKind = Finding['kind'];

/** Which frame of a bracket is not there. */
export type MissingFrame = 'darkest' | 'brightest' | 'between' | 'darkest or brightest';

/** What the recorded places say of a camera that took a series. */
export type CameraMotion = 'moving' | 'hovering' | 'unknown';

/** Where an exposure offset came from: the camera's meter, or the measured level of the picture. */
export type ExposureBasis = 'metered' | 'picture';

/**
 * Whether the light contradicts what is said to have been fitted, so that no weather explains it: nothing is learned
 * from such a filter, and no advice rests on it.
 *
 * @example doubtsTheFilter({ kind: 'filter-forgotten', weight: 'medium' }) // true
 */
export function doubtsTheFilter({
  kind,
  weight,
}: {
  readonly kind: string;
  readonly weight: string;
}): boolean {
  return aboutFilter.has(kind) && weight !== 'low';
}

const aboutFilter: ReadonlySet<string> = new Set<FindingKind>(['filter-forgotten', 'filter-contradicted']);
