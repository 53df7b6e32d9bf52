import type { ShutterClass, ShutterReason } from '../../domain/shutter.ts';
import type { ClassProbabilities } from './posterior.ts';

export interface ShutterOptions {
  readonly targetAngleDegrees?: number;
  /** How far from the target, in stops, an angle may lie and still be `on`. */
  readonly toleranceStops?: number;
}

/** A 95% interval. */
interface AngleInterval {
  readonly lowDegrees: number;
  readonly highDegrees: number;
}

/** What one part of the tiles says by itself. */
export interface PartialAngle extends AngleInterval {
  readonly part: 'speed-band' | 'window' | 'half';
  readonly motionPixelsPerFrame: number;
  readonly atSeconds: number;
  readonly angleDegrees: number;
  readonly tileCount: number;
}

/** For a plot: how much detail is left over frequency along the motion, and the curve that explains it. */
export interface ShutterEvidence {
  readonly points: readonly {
    readonly cyclesPerFrame: number;
    readonly attenuation: number;
    readonly fitted: number;
    readonly weight: number;
  }[];
  readonly parts: readonly PartialAngle[];
  /** The most believable angle even where it is too uncertain to be said; for benches, not for people. */
  readonly middleDegrees?: number;
  readonly misfit?: number;
}

/** What the motion blur tells of the shutter: an estimate from the picture, never recorded data. */
export interface ShutterEstimate {
  /** `short`: only an upper bound, `interval.highDegrees`, can be said. */
  readonly verdict: 'measured' | 'short' | 'cannot-tell';
  readonly angleDegrees?: number;
  readonly interval?: AngleInterval;
  readonly classProbabilities?: ClassProbabilities;
  readonly class?: ShutterClass;
  readonly pairCount: number;
  readonly tileCount: number;
  /** At recorded size. */
  readonly medianMotionPixels?: number;
  readonly reason?: ShutterReason;
  readonly evidence: ShutterEvidence;
}
