import { exposureSecondsForAngle } from '../../domain/shutter.ts';
import type { Check } from '../check.ts';
import { judgeShutter, usableShutter } from '../shutter.ts';

/** shutter-edge: inside the tolerance, but near its end. */
export const shutterEdge: Check = (subject) => {
  const judged = judgeShutter(subject);
  const shutter = usableShutter(subject.recording);
  if (!shutter || judged?.angleDegrees === undefined || judged.offsetStops === undefined) return undefined;
  if (judged.verdict !== 'on' || Math.abs(judged.offsetStops) <= subject.limits.shutterEdgeStops)
    return undefined;
  return {
    kind: 'shutter-edge',
    weight: 'low',
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
