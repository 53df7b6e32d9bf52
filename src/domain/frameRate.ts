/** Frames per second as an exact ratio: 30000/1001, 25/1. Both parts are positive integers. */
export interface FrameRate {
  readonly numerator: number;
  readonly denominator: number;
}
