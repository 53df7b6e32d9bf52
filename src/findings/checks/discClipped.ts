import type { Check } from '../check.ts';
import { worstClippedFrame } from '../clipping.ts';

/** Of the limit for clipped areas: a smaller spot is one of the glints that every sunlit scene has. */
const leastShareOfLimit = 0.1;

/** disc-clipped: the sun or a lamp is in the picture. No exposure would hold it, so it is a remark only. */
export const discClipped: Check = ({ measurement, limits }) => {
  const worst = measurement && worstClippedFrame(measurement, 'disc');
  if (!worst || worst.clippedFraction < leastShareOfLimit * limits.clippedFraction) return undefined;
  return { kind: 'disc-clipped', weight: 'low', maxFraction: worst.clippedFraction, shape: 'disc' };
};
