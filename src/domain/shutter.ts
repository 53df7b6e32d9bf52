import { stopsFromRatio } from './stops.ts';

/**
 * How far an exposure may exceed the frame time before it is disbelieved, as a fraction: frame rates are averages
 * of timestamps and exposure times are rounded, so 1/24 s beside a measured 24.05 frames/s is still a full frame.
 */
const frameTimeSlackFraction = 0.005;

/**
 * Shutter angle of an exposure inside its frame time.
 *
 * @returns degrees; (0, 360] where the exposure fits its frame, more where it cannot be true
 * Source: angle = 360 x rate x time, the cinematographic shutter formula.
 * @example shutterAngleDegrees({ exposureSeconds: 1 / 50, framesPerSecond: 24 }) // 172.8
 */
export function shutterAngleDegrees(shutter: {
  readonly exposureSeconds: number;
  readonly framesPerSecond: number;
}): number {
  return 360 * shutter.framesPerSecond * shutter.exposureSeconds;
}

/**
 * Exposure time that gives a shutter angle. With the interval of a series as frame time this is the half-interval
 * rule of time-lapse: 180 degrees of 3 s are 1.5 s.
 *
 * @returns seconds, > 0
 * @example exposureSecondsForAngle({ angleDegrees: 180, framesPerSecond: 25 }) // 0.02
 */
export function exposureSecondsForAngle(shutter: {
  readonly angleDegrees: number;
  readonly framesPerSecond: number;
}): number {
  return shutter.angleDegrees / (360 * shutter.framesPerSecond);
}

/**
 * Distance of a shutter angle from its target.
 *
 * @returns stops, - = shorter than the target
 * @example shutterOffsetStops({ angleDegrees: 172.8, targetDegrees: 180 }) // -0.0589
 */
export function shutterOffsetStops(shutter: {
  readonly angleDegrees: number;
  readonly targetDegrees: number;
}): number {
  return stopsFromRatio(shutter.angleDegrees / shutter.targetDegrees);
}

/**
 * Length of the motion blur of something that moves evenly.
 *
 * @returns pixels at the width the motion was given for, >= 0
 * Source: blur = exposed share of the frame time x displacement (definition in arXiv 2303.10247).
 * @example blurPixels({ motionPixelsPerFrame: 24, angleDegrees: 180 }) // 12
 */
export function blurPixels(motion: {
  readonly motionPixelsPerFrame: number;
  readonly angleDegrees: number;
}): number {
  return (motion.motionPixelsPerFrame * motion.angleDegrees) / 360;
}

/**
 * Whether an exposure is longer than its frame by more than rounding, which a single frame cannot be.
 *
 * @example isLongerThanFrame({ exposureSeconds: 1 / 24, framesPerSecond: 25 }) // true
 */
export function isLongerThanFrame(shutter: {
  readonly exposureSeconds: number;
  readonly framesPerSecond: number;
}): boolean {
  return shutter.exposureSeconds * shutter.framesPerSecond > 1 + frameTimeSlackFraction;
}
