import { isMeasuredExposure } from '../measuredExposure.ts';
import type { Check } from '../check.ts';
import { usableShutter } from '../shutterVerdict.ts';
import { shutterAngleDegrees } from '../../domain/shutter.ts';

/** shutter-contradicted: the motion blur tells another angle than what was recorded, by more than its interval. */
export const shutterContradicted: Check = ({ recording, measurement, limits }) => {
  const shutter = usableShutter(recording);
  const interval = measurement?.shutter?.interval;
  if (shutter === undefined || interval === undefined || isMeasuredExposure(recording)) return undefined;
  const recordedDegrees = shutterAngleDegrees(shutter);
  const slack = 2 ** limits.shutterToleranceStops;
  if (recordedDegrees >= interval.lowDegrees / slack && recordedDegrees <= interval.highDegrees * slack)
    return undefined;
  return { kind: 'shutter-contradicted', weight: 'medium', recordedDegrees, ...interval };
};
