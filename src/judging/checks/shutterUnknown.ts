import type { Check } from '../check.ts';

/** shutter-unknown: a clip did not record what its shutter angle follows from. */
export const shutterUnknown: Check = ({ recording }) => {
  const { exposureSeconds, frameRate } = recording.facts;
  if (recording.kind !== 'clip' || (exposureSeconds && frameRate)) return undefined;
  return { kind: 'shutter-unknown', weight: 'low', missing: exposureSeconds ? 'frame-rate' : 'exposure' };
};
