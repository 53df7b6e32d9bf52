import type { FindingWeight } from '../../domain/finding.ts';
import { exposureSecondsForAngle } from '../../domain/shutter.ts';
import type { Check } from '../check.ts';
import { judgeShutter, usableShutter } from '../shutter.ts';

/** Stops. A shutter that is off by more than a factor of two is seen by anyone; common practice, no source. */
const highStops = 1;

/** shutter-short and shutter-long: the recorded angle lies outside the tolerance around the target. */
export const shutterOff: Check = (subject) => {
  const judged = judgeShutter(subject);
  const shutter = usableShutter(subject.recording);
  if (!shutter || judged?.angleDegrees === undefined || judged.offsetStops === undefined) return undefined;
  if (judged.verdict !== 'short' && judged.verdict !== 'long') return undefined;
  const unseen = judged.verdict === 'short' && judged.matters === 'no';
  return {
    kind: `shutter-${judged.verdict}`,
    weight: weightOf(Math.abs(judged.offsetStops), unseen),
    exposureSeconds: shutter.exposureSeconds,
    targetSeconds: exposureSecondsForAngle({
      angleDegrees: subject.limits.shutterAngleDegrees,
      framesPerSecond: shutter.framesPerSecond,
    }),
    ...(judged.interval === undefined ? {} : { interval: judged.interval }),
    angleDegrees: judged.angleDegrees,
    offsetStops: judged.offsetStops,
  };
};

/** A short shutter in a picture that hardly moves is one step less serious: the setting is wrong, nobody sees it. */
function weightOf(distanceStops: number, unseen: boolean): FindingWeight {
  if (distanceStops > highStops) return unseen ? 'medium' : 'high';
  return unseen ? 'low' : 'medium';
}
