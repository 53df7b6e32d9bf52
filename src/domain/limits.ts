/** The limits that findings and advice work with. Defaults, with their reasons, stand in findings/limits.ts. */
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
  /** Change of recorded exposure inside one clip above which it is said. */
  readonly driftStops: number;
  /** Level of the mains where lamps may light the scene; absent when not set. */
  readonly mainsHertz?: number;
  /** The longest exposure that the camera can be set to; absent when not set. */
  readonly longestExposureSeconds?: number;
  /** A second sensitivity at which the camera's noise steps down again; absent when not set. */
  readonly secondBaseIso?: number;
}
