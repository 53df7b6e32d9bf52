import type { Check } from '../check.ts';

/** shutter-unknown: a clip did not record what its shutter angle follows from. */
export const shutterUnknown: Check = ({ recording, measurement }) => {
  const { exposureSeconds, frameRate } = recording.facts;
  if (recording.kind !== 'clip' || (exposureSeconds && frameRate)) return undefined;
  if (frameRate && measurement?.shutter?.verdict === 'short') return undefined;
  const blurReason = measurement?.shutter?.reason;
  return {
    kind: 'shutter-unknown',
    weight: 'low',
    missing: exposureSeconds ? 'frame-rate' : 'exposure',
    ...(blurReason === undefined ? {} : { blurReason }),
  };
};
