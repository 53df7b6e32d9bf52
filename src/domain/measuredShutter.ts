/** How an angle stands to its target. */
export type ShutterClass = 'short' | 'on' | 'long';

/** Why motion blur does not tell the shutter. */
export type ShutterReason =
  | 'too-few-pairs'
  | 'too-little-motion'
  | 'too-little-texture'
  | 'too-noisy'
  | 'too-compressed'
  | 'mixed-motions'
  | 'bands-disagree'
  | 'windows-disagree'
  | 'repeated-frames'
  | 'uneven-sharpness'
  | 'repeating-texture'
  | 'interval-too-wide'
  | 'interlaced';

/** What the motion blur tells of the shutter: an estimate from the picture, never recorded data. */
export interface MeasuredShutter {
  /** `short`: only an upper bound, `interval.highDegrees`, can be said. */
  readonly verdict: 'measured' | 'short' | 'cannot-tell';
  /** (0, 360]; absent where only a bound is known. */
  readonly angleDegrees?: number;
  /** Holds with 95%. */
  readonly interval?: { readonly lowDegrees: number; readonly highDegrees: number };
  readonly class?: ShutterClass;
  /** Pairs of consecutive frames, and tiles in them, that the answer rests on. */
  readonly pairCount: number;
  readonly tileCount: number;
  /** From one frame to the next, at recorded width. */
  readonly medianMotionPixels?: number;
  readonly reason?: ShutterReason;
  /** What the angle rests on: detail left in the picture over frequency along the motion, and the fitted curve. */
  readonly curve?: readonly BlurPoint[];
}

/** One point of the curve from which the angle was read. */
export interface BlurPoint {
  /** Frequency along the motion times the motion of one frame; an exposure of 1/a of a frame has its first zero at a. */
  readonly cyclesPerFrame: number;
  /** Share of the detail that is left, 1 = all. */
  readonly attenuation: number;
  /** The same by the curve that was fitted. */
  readonly fitted: number;
}

/** Stands as the source of an exposure time that was worked out from motion blur. */
export const motionBlurSource = 'motion blur in the picture';
