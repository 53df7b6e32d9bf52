import type { FindingWeight } from '../../domain/finding.ts';
import type { Check } from '../check.ts';
import { angleOf } from '../shutterVerdict.ts';

/** Stops. A shutter that is off by more than a factor of two is seen by anyone; common practice, no source. */
const highStops = 1;

/** shutter-short and shutter-long: the recorded angle lies outside the tolerance around the target. */
export const shutterOff: Check = (subject) => {
  const angle = angleOf(subject);
  if (angle?.verdict !== 'short' && angle?.verdict !== 'long') return undefined;
  const unseen = angle.verdict === 'short' && angle.matters === 'no';
  const weight = weightOf(Math.abs(angle.said.offsetStops), unseen);
  return { kind: `shutter-${angle.verdict}`, weight, ...angle.said };
};

/** A short shutter in a picture that hardly moves is one step less serious: the setting is wrong, nobody sees it. */
function weightOf(distanceStops: number, unseen: boolean): FindingWeight {
  if (distanceStops > highStops) return unseen ? 'medium' : 'high';
  return unseen ? 'low' : 'medium';
}
