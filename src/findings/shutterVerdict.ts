import { framesPerSecond, type FrameRate } from '../domain/frameRate.ts';
import type { Limits } from '../domain/limits.ts';
import type { Measurement } from '../domain/measurement.ts';
import type { Recording } from '../domain/recording.ts';
import {
  blurPixels,
  fieldRate,
  isLongerThanFrame,
  shutterAngleDegrees,
  shutterOffsetStops,
  shutterRate,
  type JudgedShutter,
  type ShutterRate,
} from '../domain/shutter.ts';
import { isMeasuredExposure } from './measuredExposure.ts';

/** Exposure and rate of a clip where both are known and can be true together. */
interface UsableShutter extends Pick<ShutterRate, 'countedOn'> {
  readonly exposureSeconds: number;
  /** Of what the shutter opened for: fields where `countedOn` says so. */
  readonly framesPerSecond: number;
}

/** Offsets at the limit itself are inside; this keeps floating point from pushing them out. */
const roundingStops = 1e-9;

/** Stills have no frame rate, so no shutter angle, whatever their facts hold. */
export function usableShutter({ kind, facts }: Recording): UsableShutter | undefined {
  const opens = shutterRate(facts);
  if (kind !== 'clip' || !facts.exposureSeconds || !opens) return undefined;
  const shutter = {
    exposureSeconds: facts.exposureSeconds.value,
    framesPerSecond: framesPerSecond(opens.rate),
    countedOn: opens.countedOn,
  };
  return isLongerThanFrame(shutter) ? undefined : shutter;
}

export interface ShutterSubject {
  readonly recording: Recording;
  readonly limits: Limits;
  readonly measurement?: Measurement;
}

/** The verdict on a clip's shutter, recorded or measured from its blur; undefined for stills. */
export function judgeShutter(subject: ShutterSubject): JudgedShutter | undefined {
  const { recording, limits, measurement } = subject;
  if (recording.kind !== 'clip') return undefined;
  const shutter = usableShutter(recording);
  const blur = measurement?.shutter && { blur: measurement.shutter };
  const unknown = { verdict: 'unknown', matters: 'unknown', ...eitherAngle(recording) } as const;
  if (!shutter) return { ...(boundFromBlur(subject) ?? unknown), ...blur };
  // Within the rounding that `isLongerThanFrame` allows, a full frame is a full frame.
  const angleDegrees = Math.min(360, shutterAngleDegrees(shutter));
  const targetDegrees = limits.shutterAngleDegrees;
  const interval = measurement?.shutter?.interval;
  const offsetStops = shutterOffsetStops({ angleDegrees, targetDegrees });
  return {
    verdict: verdictFor(offsetStops, limits.shutterToleranceStops),
    angleDegrees,
    offsetStops,
    countedOn: shutter.countedOn,
    ...(isMeasuredExposure(recording) ? { basis: 'picture', interval } : { basis: 'recorded' }),
    ...blur,
    ...judgedByEye(subject, angleDegrees),
  };
}

/**
 * Both angles of a clip in fields that cannot be told to have moments of their own: counted on the frame and on the
 * field.
 */
export function eitherAngle({ kind, facts }: Recording): Pick<JudgedShutter, 'either'> {
  const { exposureSeconds, frameRate, scan } = facts;
  if (kind !== 'clip' || scan?.value !== 'fields' || !exposureSeconds || !frameRate) return {};
  if (shutterRate(facts) !== undefined) return {};
  const angleAt = (rate: FrameRate) =>
    shutterAngleDegrees({ exposureSeconds: exposureSeconds.value, framesPerSecond: framesPerSecond(rate) });
  return {
    either: {
      onFrameDegrees: angleAt(frameRate.value),
      onFieldDegrees: Math.min(360, angleAt(fieldRate(frameRate.value))),
    },
  };
}

/** Where nothing was recorded and the blur tells only that the shutter was short: no angle, but a bound. */
function boundFromBlur(subject: ShutterSubject): JudgedShutter | undefined {
  const { recording, measurement } = subject;
  const shutter = measurement?.shutter;
  if (recording.facts.exposureSeconds || shutter?.verdict !== 'short' || !shutter.interval) return undefined;
  return {
    verdict: 'short',
    basis: 'picture',
    interval: shutter.interval,
    ...judgedByEye(subject, shutter.interval.highDegrees),
  };
}

/** Whether it matters, with the numbers behind that. */
function judgedByEye(
  { recording, limits, measurement }: ShutterSubject,
  angleDegrees: number,
): Pick<JudgedShutter, 'matters' | 'seen'> {
  const high = measurement?.motionPixelsPerFrame?.high;
  const openings = recording.facts.scan?.value === 'interlaced' ? 2 : 1;
  const moving = {
    angleDegrees,
    targetDegrees: limits.shutterAngleDegrees,
    highPixelsPerFrame: high && high / openings,
    widthPixels: recording.facts.width?.value,
  };
  const seen = seenShutter(moving);
  return { matters: shutterMatters(moving), seen };
}

function verdictFor(offsetStops: number, toleranceStops: number): 'on' | 'short' | 'long' {
  if (Math.abs(offsetStops) <= toleranceStops + roundingStops) return 'on';
  return offsetStops < 0 ? 'short' : 'long';
}

/**
 * Below this motion (pixels per frame) no shutter can be told from another: even 180 degrees blur by one pixel only,
 * which is the width of one picture element.
 */
const stillPixelsPerFrame = 2;

/**
 * Guidance for pans, from charts that camera manuals print: with 180 degrees at 24 frames/s, an object should take
 * 7 s or more to cross the picture. It then moves 1 / (7 x 24) of the width per frame, of which half is covered by
 * blur and half is left as a gap between the blur of one frame and that of the next. Faster pans look chopped, so
 * 1 / 336 of the width is the largest gap that passes: 5.7 pixels of 1920. The same length is, at that limit, the
 * blur that passes. That the limit holds per frame at other rates, and that a gap counts alike whether pan or shutter
 * made it, is our reading of the guidance.
 */
const passableFractionOfWidth = 1 / (7 * 24) / 2;

/** What is seen of a shutter: the gap that a short one leaves, or the blur of a long one, and how much of it passes. */
interface SeenShutter {
  readonly seenFractionOfWidth: number;
  readonly passableFractionOfWidth: number;
}

interface MovingShutter {
  readonly angleDegrees: number;
  readonly targetDegrees: number;
  readonly highPixelsPerFrame?: number;
  readonly widthPixels?: number;
}

/**
 * Whether the shutter of a clip can be seen at the motion measured in it. A short shutter shows by the gaps it
 * leaves, motion x (1 - angle/360); one longer than its target shows by its blur, motion x angle/360.
 *
 * @param subject `highPixelsPerFrame` is the 95th percentile of the motion, at `widthPixels`
 * @example shutterMatters({ angleDegrees: 10.8, targetDegrees: 180, highPixelsPerFrame: 8, widthPixels: 1920 }) // 'yes'
 */
export function shutterMatters(subject: MovingShutter): 'yes' | 'no' | 'unknown' {
  const { highPixelsPerFrame } = subject;
  if (highPixelsPerFrame === undefined) return 'unknown';
  if (highPixelsPerFrame < stillPixelsPerFrame) return 'no';
  const seen = seenShutter(subject);
  if (seen === undefined) return 'unknown';
  return seen.seenFractionOfWidth > seen.passableFractionOfWidth ? 'yes' : 'no';
}

/** The numbers behind that, where the motion is known. */
function seenShutter(subject: MovingShutter): SeenShutter | undefined {
  const { angleDegrees, targetDegrees, highPixelsPerFrame, widthPixels } = subject;
  if (highPixelsPerFrame === undefined || widthPixels === undefined) return undefined;
  const blur = blurPixels({ motionPixelsPerFrame: highPixelsPerFrame, angleDegrees });
  const seenPixels = angleDegrees > targetDegrees ? blur : highPixelsPerFrame - blur;
  return {
    seenFractionOfWidth: seenPixels / widthPixels,
    passableFractionOfWidth,
  };
}
