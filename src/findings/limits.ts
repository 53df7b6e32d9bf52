import type { Limits } from '../domain/limits.ts';

/** The limits in force where the pilot set none. */
export const defaultLimits: Limits = {
  /** Degrees. Half the frame time is what audiences are used to; common practice, no source. */
  shutterAngleDegrees: 180,
  /** Stops. Accepts the usual 1/48, 1/50 and 1/60 s at 24 to 30 frames/s (143 to 227 degrees) and no neighbour mark. */
  shutterToleranceStops: 1 / 3,
  /** Stops. Three quarters of the tolerance: 1/60 s at 24 frames/s is 0.32 short, accepted and worth a remark. */
  shutterEdgeStops: 0.25,
  /** ISO. The lowest sensitivity of most cameras; a camera with another base needs it set. */
  baseIso: 100,
  /** Stops against the camera's meter, + = over. Video has little headroom above white, so over is never right; common practice, no source. */
  windowStops: [-0.7, 0],
  /** Fraction of the picture. EBU R 103 (versions 2 and 3) accepts out-of-range pixels up to 1% of it. */
  clippedFraction: 0.01,
  /** Stops within one clip. Half a stop is the step that a viewer sees in a cut or a ramp; common practice, no source. */
  driftStops: 0.5,
};
