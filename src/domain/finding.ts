import type { ClippedShape } from './measurement.ts';
import type { ShutterReason } from './measuredShutter.ts';
import type { FactName } from './recording.ts';

/** `high` and `medium` flag a recording (and end `--strict` with 1); `low` is a remark. */
export type FindingWeight = 'high' | 'medium' | 'low';

interface Spanned {
  readonly startSeconds?: number;
  readonly endSeconds?: number;
}

/** Everything an audit can say about one recording. The sentences stand in reporting/wording.ts. */
export type Finding = { readonly weight: FindingWeight } & Spanned &
  (
    | {
        readonly kind: 'shutter-short' | 'shutter-long' | 'shutter-edge';
        /** 95 % interval of the angle, where it was measured from motion blur. */
        readonly interval?: { readonly lowDegrees: number; readonly highDegrees: number };
        readonly exposureSeconds: number;
        readonly targetSeconds: number;
        readonly angleDegrees: number;
        readonly offsetStops: number;
      }
    | { readonly kind: 'shutter-impossible'; readonly exposureSeconds: number; readonly frameSeconds: number }
    | {
        readonly kind: 'shutter-unknown';
        readonly missing: 'exposure' | 'frame-rate';
        /** Why the motion blur does not tell it either; absent where it was not looked at. */
        readonly blurReason?: ShutterReason;
      }
    | {
        readonly kind: 'shutter-short-by-blur';
        /** The angle was at most this, with 95 %. */
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
      }
    | {
        readonly kind: 'iso-raised';
        readonly iso: number;
        readonly baseIso: number;
        readonly overStops: number;
      }
    | { readonly kind: 'exposure-drifts'; readonly rangeStops: number }
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
    | { readonly kind: 'decoded-in-part'; readonly atSeconds: number; readonly reason: string }
  );

export type FindingKind = Finding['kind'];

/** Where an exposure offset came from: the camera's meter, or the measured level of the picture. */
export type ExposureBasis = 'metered' | 'picture';
