export interface Limits {
  /** The target, (0, 360]. */
  readonly shutterAngleDegrees: number;
  /** Distance from the target, to either side, that still passes; > 0. */
  readonly shutterToleranceStops: number;
  /** Inside the tolerance but farther from the target than this: said as a remark. */
  readonly shutterEdgeStops: number;
  /** The sensitivity at which the camera's noise is least; > 0. */
  readonly baseIso: number;
  /** Exposure offsets that count as right, [low, high], + = over. */
  readonly windowStops: readonly [number, number];
  /** Clipped share of the picture above which a recording is flagged, [0, 1]. */
  readonly clippedFraction: number;
  /** Of pictures whose highlights burn, the share that what is advised shall hold, [0.5, 0.95]. */
  readonly holdChance: number;
  /** Change of recorded exposure inside one clip above which it is said. */
  readonly driftStops: number;
  /** Level of the mains where lamps may light the scene; absent when not set. */
  readonly mainsHertz?: number;
  /** The longest exposure that the camera can be set to; absent when not set. */
  readonly longestExposureSeconds?: number;
  /** A second sensitivity at which the camera's noise steps down again; absent when not set. */
  readonly secondBaseIso?: number;
}

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
  /** Four of five: burnt is gone for good, and a stop of darkness costs noise only. Common practice, no source. */
  holdChance: 0.8,
  /** Stops within one clip. Half a stop is the step that a viewer sees in a cut or a ramp; common practice, no source. */
  driftStops: 0.5,
};
