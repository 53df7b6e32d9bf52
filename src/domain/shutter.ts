import { stopsFromRatio } from './exposure.ts';
import { framesPerSecond, type FrameRate } from './frameRate.ts';
import type { Facts } from './recording.ts';

/**
 * How far an exposure may exceed the frame time before it is disbelieved, as a fraction: frame rates are averages
 * of timestamps and exposure times are rounded, so 1/24 s beside a measured 24.05 frames/s is still a full frame.
 */
const frameTimeSlackFraction = 0.005;

interface ExposureAndRate {
  readonly exposureSeconds: number;
  readonly framesPerSecond: number;
}

/**
 * Shutter angle of an exposure inside its frame time.
 * @returns degrees; (0, 360] where the exposure fits its frame, more where it cannot be true
 * Source: angle = 360 x rate x time, the cinematographic shutter formula.
 * @example shutterAngleDegrees({ exposureSeconds: 1 / 50, framesPerSecond: 24 }) // 172.8
 */
export function shutterAngleDegrees({ exposureSeconds, framesPerSecond: rate }: ExposureAndRate): number {
  return 360 * rate * exposureSeconds;
}

/**
 * Exposure time that gives a shutter angle. With the interval of a series as frame time this is the half-interval
 * rule of time-lapse: 180 degrees of 3 s are 1.5 s.
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
 * @example isLongerThanFrame({ exposureSeconds: 1 / 24, framesPerSecond: 25 }) // true
 */
export function isLongerThanFrame({ exposureSeconds, framesPerSecond: rate }: ExposureAndRate): boolean {
  return exposureSeconds * rate > 1 + frameTimeSlackFraction;
}

/** What the shutter of a clip opens for, and how often. */
interface ShutterRate {
  readonly rate: FrameRate;
  /** Only where the pictures are stored in fields. */
  readonly countedOn?: 'frame' | 'field';
}

/**
 * How often the shutter opened: for each frame, or for each field where those were taken one after the other. 1080/50/I
 * has 25 frames and 50 fields a second (Recommendation ITU-R BT.709-6). An exposure that no field has time for was one of
 * a frame, whose fields are then of one moment.
 * @returns undefined where the frame rate is not known, or fields are, and nothing tells whether each has its own moment
 * @example shutterRate({ frameRate: { value: { numerator: 25, denominator: 1 }, source: 'a' }, scan: { value: 'interlaced', source: 'a' } }) // { rate: { numerator: 50, denominator: 1 }, countedOn: 'field' }
 */
export function shutterRate({
  frameRate,
  scan,
  exposureSeconds,
}: Pick<Facts, 'frameRate' | 'scan' | 'exposureSeconds'>): ShutterRate | undefined {
  if (frameRate === undefined) return undefined;
  const rate = frameRate.value;
  if (scan === undefined) return { rate };
  if (scan.value === 'progressive-in-fields') return { rate, countedOn: 'frame' };
  if (scan.value === 'interlaced') return { rate: fieldRate(rate), countedOn: 'field' };
  const longest = {
    exposureSeconds: exposureSeconds?.value ?? 0,
    framesPerSecond: framesPerSecond(fieldRate(rate)),
  };
  return isLongerThanFrame(longest) ? { rate, countedOn: 'frame' } : undefined;
}

/**
 * @returns fields a second: two for each frame
 * @example fieldRate({ numerator: 30000, denominator: 1001 }) // { numerator: 60000, denominator: 1001 }
 */
export function fieldRate({ numerator, denominator }: FrameRate): FrameRate {
  return { numerator: 2 * numerator, denominator };
}

/** How an angle stands to its target. */
export type ShutterClass = 'short' | 'on' | 'long';

/** Why motion blur does not tell the shutter. */
export type ShutterReason =
  | 'too-few-pairs'
  | 'too-little-motion'
  | 'too-much-motion'
  | 'too-little-texture'
  | 'too-noisy'
  | 'too-dark'
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
  /**
   * `short`: of the angle only an upper bound can be said, `interval.highDegrees`, and it lies below the target's tolerance.
   * A bound above that may stand beside `cannot-tell`.
   */
  readonly verdict: 'measured' | 'short' | 'cannot-tell';
  /** (0, 360]; absent where only a bound is known. */
  readonly angleDegrees?: number;
  /** Holds with 95%. `highDegrees` alone is an upper bound: nothing is known of how much less it was. */
  readonly interval?: { readonly lowDegrees?: number; readonly highDegrees: number };
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

/**
 * Both ends of an interval; undefined where only the upper one is known.
 * @example angleRange({ highDegrees: 90 }) // undefined
 */
export function angleRange(
  interval: MeasuredShutter['interval'],
): { readonly lowDegrees: number; readonly highDegrees: number } | undefined {
  if (interval?.lowDegrees === undefined) return undefined;
  return { lowDegrees: interval.lowDegrees, highDegrees: interval.highDegrees };
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

type ShutterVerdict = ShutterClass | 'unknown';

/** The verdict on a clip's shutter, recorded or measured from its blur. */
export interface JudgedShutter {
  readonly verdict: ShutterVerdict;
  readonly angleDegrees?: number;
  /** log2(angle / target), - = shorter than the target. */
  readonly offsetStops?: number;
  readonly basis?: 'recorded' | 'picture';
  readonly countedOn?: ShutterRate['countedOn'];
  /** Where that could not be told: the angle counted on the frame, and on the field. */
  readonly either?: { readonly onFrameDegrees: number; readonly onFieldDegrees: number };
  /** Holds with 95%. */
  readonly interval?: MeasuredShutter['interval'];
  /** What the motion blur tells, where it was looked at. */
  readonly blur?: MeasuredShutter;
  /** Would anyone see it at the motion measured. */
  readonly matters: 'yes' | 'no' | 'unknown';
  /** The gap of a short shutter, or the blur of a long one, at that motion, and how much of it passes. */
  readonly seen?: { readonly seenFractionOfWidth: number; readonly passableFractionOfWidth: number };
}

/** Stands as the source of an exposure time that was worked out from motion blur. */
export const motionBlurSource = 'motion blur in the picture';

// Lamps on alternating current pulse twice a cycle. An exposure that holds a whole number of pulses takes in the same
// light wherever it begins; so does any exposure where the pulses are a whole number to a frame (published by
// cinematographers as the flicker-free equation; a table for 50 and 60 Hz follows from it).

/** Rates are recorded as 29.97 or 30; closer than this two of them are the same. */
const sameShare = 0.0005;
/** Half a tenth of a pulse more or less is the rounding of the marks on a shutter dial: 1/50, 1/33, 1/60. */
const roundingPulses = 0.05;

interface LampsAndRate {
  readonly mainsHertz: number;
  readonly framesPerSecond: number;
}

/**
 * Exposures that fit inside a frame and hold a whole number of the light pulses of lamps on the mains.
 * @returns seconds, shortest first
 * Source: t = n / (2 x mains frequency), the flicker-free equation of cinematography.
 * @example flickerSafeExposuresSeconds({ mainsHertz: 50, framesPerSecond: 25 }) // [0.01, 0.02, 0.03, 0.04]
 */
export function flickerSafeExposuresSeconds(lamps: LampsAndRate): readonly number[] {
  const pulseHertz = 2 * lamps.mainsHertz;
  const most = Math.floor((pulseHertz * (1 + sameShare)) / lamps.framesPerSecond);
  return Array.from({ length: most }, (_, i) => (i + 1) / pulseHertz);
}

/**
 * Whether lamps on the mains make consecutive frames differ: they do not where the pulses are a whole number to a
 * frame, or the exposure holds a whole number of them.
 * @example flickersUnder({ exposureSeconds: 1 / 60, mainsHertz: 50, framesPerSecond: 24 }) // true
 */
export function flickersUnder(lamps: LampsAndRate & ExposureAndRate): boolean {
  const { exposureSeconds, mainsHertz } = lamps;
  const pulsesPerFrame = (2 * mainsHertz) / lamps.framesPerSecond;
  const perFrame = Math.round(pulsesPerFrame);
  if (perFrame >= 1 && Math.abs(pulsesPerFrame / perFrame - 1) < sameShare) return false;
  const pulses = 2 * mainsHertz * exposureSeconds;
  return Math.round(pulses) < 1 || Math.abs(pulses - Math.round(pulses)) > roundingPulses;
}
