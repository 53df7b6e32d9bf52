import { z } from 'zod';
import type { FindingWeight } from '../domain/findingWeight.ts';
import {
  formatAngle,
  formatBlurAngle,
  formatBlurRange,
  formatExposure,
  formatPercent,
  formatRate,
  stopsInWords,
} from '../domain/format.ts';
import { framesPerSecond, type FrameRate } from '../domain/frameRate.ts';
import { defaultLimits } from '../domain/limits.ts';
import type { Recording } from '../domain/recording.ts';
import {
  angleRange,
  blurPixels,
  fieldRate,
  isLongerThanFrame,
  shutterAngleDegrees,
  shutterOffsetStops,
  shutterRate,
  exposureSecondsForAngle,
  type JudgedShutter,
} from '../domain/shutter.ts';
import { isMeasuredExposure } from './exposureOffset.ts';
import type { FindingContext, Judged } from './finding.ts';

/** Exposure and rate of a clip where both are known and can be true together. */
interface UsableShutter extends Pick<JudgedShutter, 'countedOn'> {
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

type ShutterSubject = Pick<Judged, 'recording' | 'limits' | 'measurement'>;

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
  const isMeasured = isMeasuredExposure(recording);
  return {
    // An interval that lies on both sides of a limit of the tolerance tells an angle and no class.
    verdict: isMeasured
      ? (measurement?.shutter?.class ?? 'unknown')
      : verdictFor(offsetStops, limits.shutterToleranceStops),
    angleDegrees,
    offsetStops,
    countedOn: shutter.countedOn,
    ...(isMeasured ? { basis: 'picture', interval } : { basis: 'recorded' }),
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

/** Where nothing was recorded and the blur tells no angle, but what it is at most. */
function boundFromBlur(subject: ShutterSubject): JudgedShutter | undefined {
  const { recording, measurement } = subject;
  const shutter = measurement?.shutter;
  if (recording.facts.exposureSeconds || !shutter?.interval || shutter.verdict === 'measured')
    return undefined;
  const { verdict, interval } = shutter;
  const bound = { basis: 'picture', interval } as const;
  return verdict === 'short'
    ? { verdict, ...bound, ...judgedByEye(subject, interval.highDegrees) }
    : { verdict: 'unknown', matters: 'unknown', ...bound };
}

/** Whether it matters, with the numbers behind that. */
function judgedByEye(
  { recording, limits, measurement }: ShutterSubject,
  angleDegrees: number,
): Pick<JudgedShutter, 'matters' | 'seen'> {
  const high = measurement?.motionPixelsPerFrame?.high;
  const openings = recording.facts.scan?.value === 'interlaced' ? 2 : 1;
  const highPixelsPerFrame = high && high / openings;
  const seen = seenShutter({
    angleDegrees,
    targetDegrees: limits.shutterAngleDegrees,
    highPixelsPerFrame,
    widthPixels: recording.facts.width?.value,
  });
  return { matters: shutterMatters(highPixelsPerFrame, seen), seen };
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

/**
 * Whether the shutter of a clip can be seen at the motion measured in it. A short shutter shows by the gaps it
 * leaves, motion x (1 - angle/360); one longer than its target shows by its blur, motion x angle/360.
 */
function shutterMatters(
  highPixelsPerFrame: number | undefined,
  seen: JudgedShutter['seen'],
): JudgedShutter['matters'] {
  if (highPixelsPerFrame === undefined) return 'unknown';
  if (highPixelsPerFrame < stillPixelsPerFrame) return 'no';
  if (seen === undefined) return 'unknown';
  return seen.seenFractionOfWidth > seen.passableFractionOfWidth ? 'yes' : 'no';
}

/** The gap that a short one leaves, or the blur of a long one, and how much of it passes; where the motion is known. */
function seenShutter(moving: {
  readonly angleDegrees: number;
  readonly targetDegrees: number;
  /** The 95th percentile of the motion, at `widthPixels`. */
  readonly highPixelsPerFrame?: number;
  readonly widthPixels?: number;
}): JudgedShutter['seen'] {
  const { angleDegrees, targetDegrees, highPixelsPerFrame, widthPixels } = moving;
  if (highPixelsPerFrame === undefined || widthPixels === undefined) return undefined;
  const blur = blurPixels({ motionPixelsPerFrame: highPixelsPerFrame, angleDegrees });
  const seenPixels = angleDegrees > targetDegrees ? blur : highPixelsPerFrame - blur;
  return { seenFractionOfWidth: seenPixels / widthPixels, passableFractionOfWidth };
}

// What the findings about a known shutter angle share: too short, too long, near the edge.

export const angleData = z.object({
  exposureSeconds: z.number(),
  targetSeconds: z.number(),
  angleDegrees: z.number(),
  offsetStops: z.number(),
  /** 95% interval of the angle, where it was measured from motion blur. */
  interval: z.object({ lowDegrees: z.number(), highDegrees: z.number() }).optional(),
  /** Set where the pictures are interlaced and the angle is one of a field. */
  countedOn: z.literal('field').optional(),
});
type Angle = z.output<typeof angleData>;

/**
 * Stops. A shutter that is off by more than a factor of two is seen by anyone; common practice, no source. Half a tenth
 * more, as stops are told in tenths and the marks of a dial are no exact stops.
 */
const highStops = 1.05;

export const toleranceText = `the tolerance of 1/${Math.round(1 / defaultLimits.shutterToleranceStops)} stop (shutter.toleranceStops) around ${formatAngle(defaultLimits.shutterAngleDegrees)} (shutter.angleDegrees)`;

export function angleOf(subject: ShutterSubject) {
  const judged = judgeShutter(subject);
  const shutter = usableShutter(subject.recording);
  if (!shutter || judged?.angleDegrees === undefined || judged.offsetStops === undefined) return undefined;
  const { verdict, matters, interval, angleDegrees, offsetStops, countedOn } = judged;
  const targetSeconds = exposureSecondsForAngle({
    angleDegrees: subject.limits.shutterAngleDegrees,
    framesPerSecond: shutter.framesPerSecond,
  });
  const data: Angle = {
    exposureSeconds: shutter.exposureSeconds,
    targetSeconds,
    interval: angleRange(interval),
    countedOn: countedOn === 'field' ? countedOn : undefined,
    angleDegrees,
    offsetStops,
  };
  return { verdict, matters, data };
}

export function angleOutside(subject: ShutterSubject, side: 'short' | 'long') {
  const angle = angleOf(subject);
  if (angle?.verdict !== side) return undefined;
  const { interval, offsetStops } = angle.data;
  const isUnseen = side === 'short' && angle.matters === 'no';
  return { weight: weightOf({ offsetStops, isUnseen, isEstimate: interval !== undefined }), ...angle.data };
}

/**
 * A short shutter in a picture that hardly moves is one step less serious: the setting is wrong, nobody sees it. An estimate
 * weighs medium at most, as does a bound, which may stand for a shutter that was far shorter.
 */
function weightOf(shutter: {
  readonly offsetStops: number;
  readonly isUnseen: boolean;
  readonly isEstimate: boolean;
}): FindingWeight {
  const { offsetStops, isUnseen, isEstimate } = shutter;
  if (Math.abs(offsetStops) > highStops && !isEstimate) return isUnseen ? 'medium' : 'high';
  return isUnseen ? 'low' : 'medium';
}

/** What the shutter was, how far it is off and what was wanted, as a sentence. */
export function comparedWithTarget(angle: Angle, side: 'short' | 'long'): string {
  const { exposureSeconds, targetSeconds, angleDegrees, offsetStops, interval, countedOn } = angle;
  const rate = formatRate(angleDegrees / 360 / exposureSeconds);
  const shutter = `${formatExposure(exposureSeconds)} at ${rate} ${countedOn === 'field' ? 'fields/s' : 'fps'}`;
  const what =
    interval === undefined
      ? `The shutter was ${shutter}, an angle of ${formatAngle(angleDegrees)}`
      : `By its motion blur the shutter was about ${shutter}, an angle of ${formatBlurAngle(angleDegrees)} (${formatBlurRange(interval)})`;
  const target = `${formatAngle(angleDegrees / 2 ** offsetStops)}, which is ${formatExposure(targetSeconds)}`;
  return `${what}: ${stopsInWords(offsetStops)} too ${side} for ${target}.`;
}

/** How a shutter shows: what the picture does, what one sees, and what is measured of it. */
const shutterLooks = {
  choppy: { look: 'look choppy', effect: 'choppiness', trace: 'gaps between frames' },
  smeared: { look: 'look smeared', effect: 'smear', trace: 'blur' },
} as const;

export function shutterConsequence(
  { matters, seen }: FindingContext,
  shows: keyof typeof shutterLooks,
): string {
  const { look, effect, trace } = shutterLooks[shows];
  const numbers =
    seen === undefined
      ? ''
      : `: ${trace} of ${formatPercent(seen.seenFractionOfWidth)} of its width, where ${formatPercent(seen.passableFractionOfWidth)} goes unseen`;
  if (matters === 'yes') return `The picture moves enough for it to ${look}${numbers}.`;
  if (matters === 'no') return `The picture hardly moves, so no ${effect} will be seen${numbers}.`;
  return `How much the picture moves is not known, so neither is whether it will ${look}.`;
}

/** An effect that draws motion out over a share of the frame time; the recorded share is there already. */
export function addedBlur(angleDegrees: number, targetDegrees: number): string {
  return (
    `A motion-blur effect set to ${formatAngle(Math.round(Math.max(0, targetDegrees - angleDegrees)))} of shutter angle softens it; ` +
    'edges may tear where things pass each other.'
  );
}
