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
import { defaultLimits } from '../domain/limits.ts';
import { exposureSecondsForAngle } from '../domain/shutter.ts';
import type { FindingContext } from './finding.ts';
import { judgeShutter, usableShutter, type ShutterSubject } from './shutterVerdict.ts';

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

/** Stops. A shutter that is off by more than a factor of two is seen by anyone; common practice, no source. */
const highStops = 1;

export const toleranceText = `the tolerance of 1/${Math.round(1 / defaultLimits.shutterToleranceStops)} stop (shutter.toleranceStops) around ${formatAngle(defaultLimits.shutterAngleDegrees)} (shutter.angleDegrees)`;

/** The angle with its verdict; undefined where it is not known. */
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
    interval,
    countedOn: countedOn === 'field' ? countedOn : undefined,
    angleDegrees,
    offsetStops,
  };
  return { verdict, matters, data };
}

/** An angle outside the tolerance around the target, to one side of it. */
export function angleOutside(subject: ShutterSubject, side: 'short' | 'long') {
  const angle = angleOf(subject);
  if (angle?.verdict !== side) return undefined;
  const isUnseen = side === 'short' && angle.matters === 'no';
  return { weight: weightOf(Math.abs(angle.data.offsetStops), isUnseen), ...angle.data };
}

/** A short shutter in a picture that hardly moves is one step less serious: the setting is wrong, nobody sees it. */
function weightOf(distanceStops: number, isUnseen: boolean): FindingWeight {
  if (distanceStops > highStops) return isUnseen ? 'medium' : 'high';
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
interface ShutterLook {
  readonly look: string;
  readonly effect: string;
  readonly trace: string;
}

export const choppy: ShutterLook = { look: 'look choppy', effect: 'choppiness', trace: 'gaps' };
export const smeared: ShutterLook = { look: 'look smeared', effect: 'smear', trace: 'blur' };

/** Whether that will be seen, as a sentence. */
export function shutterConsequence(
  { matters, seen }: FindingContext,
  { look, effect, trace }: ShutterLook,
): string {
  const numbers =
    seen === undefined
      ? ''
      : `: ${trace} of ${formatPercent(seen.seenFractionOfWidth)} of its width, where ${formatPercent(seen.passableFractionOfWidth)} passes`;
  if (matters === 'yes') return `The picture moves enough for it to ${look}${numbers}.`;
  if (matters === 'no') return `The picture hardly moves, so no ${effect} will be seen${numbers}.`;
  return `How much the picture moves is not known, so neither is whether it will ${look}.`;
}

/** An effect that draws motion out over a share of the frame time; the recorded share is there already. */
export function addedBlur(angleDegrees: number, targetDegrees: number): string {
  return (
    `Motion blur can be added: set the effect to ${formatAngle(Math.round(Math.max(0, targetDegrees - angleDegrees)))} of shutter angle. ` +
    'Edges that cross each other may tear.'
  );
}
