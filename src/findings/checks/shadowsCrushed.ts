import type { Check } from '../check.ts';

/** shadows-crushed: EBU R 103 accepts the same area below the range as above it. Black may be meant: a remark. */
export const shadowsCrushed: Check = ({ measurement, limits }) => {
  if (!measurement || measurement.crushedFraction.max <= limits.clippedFraction) return undefined;
  return { kind: 'shadows-crushed', weight: 'low', maxFraction: measurement.crushedFraction.max };
};
