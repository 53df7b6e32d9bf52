import { framesPerSecond, type FrameRate } from '../domain/frameRate.ts';
import type { Limits } from '../domain/limits.ts';
import type { Measurement } from '../domain/measurement.ts';
import type { Recording } from '../domain/recording.ts';
import {
  exposureSecondsForAngle,
  isLongerThanFrame,
  shutterAngleDegrees,
  shutterOffsetStops,
  fieldRate,
  shutterRate,
  type JudgedShutter,
  type ShutterRate,
} from '../domain/shutter.ts';
import { seenShutter, shutterMatters } from './matters.ts';
import { isMeasuredExposure } from './measuredExposure.ts';

/** Exposure and rate of a clip where both are known and can be true together. */
export interface UsableShutter extends Pick<ShutterRate, 'countedOn'> {
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

interface ShutterSubject {
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

/** What a finding about the angle says beside its kind; undefined where the angle is not known. */
export function angleOf(subject: ShutterSubject) {
  const judged = judgeShutter(subject);
  const shutter = usableShutter(subject.recording);
  if (!shutter || judged?.angleDegrees === undefined || judged.offsetStops === undefined) return undefined;
  const { verdict, matters, interval, angleDegrees, offsetStops, countedOn } = judged;
  const { exposureSeconds, framesPerSecond: rate } = shutter;
  const targetDegrees = subject.limits.shutterAngleDegrees;
  return {
    verdict,
    matters,
    said: {
      exposureSeconds,
      targetSeconds: exposureSecondsForAngle({ angleDegrees: targetDegrees, framesPerSecond: rate }),
      interval,
      countedOn: countedOn === 'field' ? countedOn : undefined,
      angleDegrees,
      offsetStops,
    },
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
