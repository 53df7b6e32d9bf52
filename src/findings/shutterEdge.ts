import { formatAngle, formatExposure, formatStops } from '../domain/format.ts';
import { defaultLimits } from '../domain/limits.ts';
import { commonPractice, finding } from './finding.ts';
import { angleData, angleOf, toleranceText } from './shutterVerdict.ts';

export const shutterEdge = finding({
  kind: 'shutter-edge',
  data: angleData,
  topic: 'shutter',
  title: 'shutter near the edge of its tolerance',
  check: (judged) => {
    const angle = angleOf(judged);
    if (angle?.verdict !== 'on') return undefined;
    if (Math.abs(angle.data.offsetStops) <= judged.limits.shutterEdgeStops) return undefined;
    return { weight: 'low', ...angle.data };
  },
  sentence: ({ exposureSeconds, angleDegrees, offsetStops, countedOn }) =>
    `The shutter is near the edge of its tolerance: ${formatExposure(exposureSeconds)} is ${formatAngle(angleDegrees)}` +
    `${countedOn === 'field' ? ' of a field' : ''}, ` +
    `${formatStops(offsetStops)} stops from the target. Nothing needs to be done.`,
  remedy: () => ({}),
  meaning: 'The shutter passes, and the next mark of the camera would not. Nobody sees a difference.',
  limit: {
    at: `more than ${defaultLimits.shutterEdgeStops} stop from the target, and within ${toleranceText}`,
    reason:
      'three quarters of the tolerance: 1/60 s at 24 frames/s is 0.32 stop short, accepted and worth a remark',
    source: commonPractice,
  },
  example: {
    weight: 'low',
    exposureSeconds: 1 / 60,
    targetSeconds: 1 / 48,
    angleDegrees: 144,
    offsetStops: -0.32,
  },
});
