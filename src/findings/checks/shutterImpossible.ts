import { framesPerSecond } from '../../domain/frameRate.ts';
import { isLongerThanFrame, shutterRate } from '../../domain/shutter.ts';

import type { Check } from '../check.ts';

/** shutter-impossible: the recorded exposure is longer than the frame it is said to have exposed. */
export const shutterImpossible: Check = ({ recording }) => {
  const { exposureSeconds, frameRate } = recording.facts;
  if (recording.kind !== 'clip' || !exposureSeconds || !frameRate) return undefined;
  // Where nothing tells whether a field had its own exposure, only a frame bounds it.
  const { rate: opens, countedOn } = shutterRate(recording.facts) ?? { rate: frameRate.value };
  const rate = framesPerSecond(opens);
  if (!isLongerThanFrame({ exposureSeconds: exposureSeconds.value, framesPerSecond: rate })) return undefined;
  return {
    kind: 'shutter-impossible',
    weight: 'medium',
    exposureSeconds: exposureSeconds.value,
    frameSeconds: 1 / rate,
    countedOn: countedOn === 'field' ? countedOn : undefined,
  };
};
