import type { Check } from '../check.ts';
import { eitherAngle } from '../shutterVerdict.ts';

/** shutter-field-or-frame: two angles are possible, because the fields of a frame are of one moment or of two. */
export const shutterFieldOrFrame: Check = ({ recording }) => {
  const { either } = eitherAngle(recording);
  const exposureSeconds = recording.facts.exposureSeconds?.value;
  if (either === undefined || exposureSeconds === undefined) return undefined;
  return { kind: 'shutter-field-or-frame', weight: 'low', exposureSeconds, ...either };
};
