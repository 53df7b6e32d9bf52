import type { Check } from '../check.ts';

/** shutter-short-by-blur: no exposure was recorded, and the picture shows only that the shutter was short. */
export const shutterShortByBlur: Check = ({ recording, measurement, limits }) => {
  const shutter = measurement?.shutter;
  if (recording.kind !== 'clip' || recording.facts.exposureSeconds !== undefined) return undefined;
  if (shutter?.verdict !== 'short' || shutter.interval === undefined) return undefined;
  return {
    kind: 'shutter-short-by-blur',
    weight: 'medium',
    highDegrees: shutter.interval.highDegrees,
    targetDegrees: limits.shutterAngleDegrees,
  };
};
