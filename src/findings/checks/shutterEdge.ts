import type { Check } from '../check.ts';
import { angleOf } from '../shutterVerdict.ts';

/** shutter-edge: inside the tolerance, but near its end. */
export const shutterEdge: Check = (subject) => {
  const angle = angleOf(subject);
  if (angle?.verdict !== 'on') return undefined;
  if (Math.abs(angle.said.offsetStops) <= subject.limits.shutterEdgeStops) return undefined;
  return { kind: 'shutter-edge', weight: 'low', ...angle.said };
};
