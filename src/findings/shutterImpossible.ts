import { z } from 'zod';
import { formatExposure } from '../domain/format.ts';
import { framesPerSecond } from '../domain/frameRate.ts';
import { isLongerThanFrame, shutterRate } from '../domain/shutter.ts';
import { finding } from './finding.ts';

export const shutterImpossible = finding({
  kind: 'shutter-impossible',
  data: z.object({
    exposureSeconds: z.number(),
    frameSeconds: z.number(),
    countedOn: z.literal('field').optional(),
  }),
  topic: 'shutter',
  title: 'recorded shutter impossible',
  check: ({ recording }) => {
    const { exposureSeconds, frameRate } = recording.facts;
    if (recording.kind !== 'clip' || !exposureSeconds || !frameRate) return undefined;
    // Where nothing tells whether a field had its own exposure, only a frame bounds it.
    const { rate: opens, countedOn } = shutterRate(recording.facts) ?? { rate: frameRate.value };
    const rate = framesPerSecond(opens);
    if (!isLongerThanFrame({ exposureSeconds: exposureSeconds.value, framesPerSecond: rate }))
      return undefined;
    return {
      weight: 'medium',
      exposureSeconds: exposureSeconds.value,
      frameSeconds: 1 / rate,
      countedOn: countedOn === 'field' ? countedOn : undefined,
    };
  },
  sentence: ({ exposureSeconds, frameSeconds, countedOn = 'frame' }) =>
    `The recorded exposure of ${formatExposure(exposureSeconds)} cannot be true: a ${countedOn} lasts only ` +
    `${formatExposure(frameSeconds)} and the shutter cannot stay open longer. No angle is worked out from it.`,
  remedy: () => ({ inTheEdit: 'Judge the motion by eye.' }),
  meaning:
    'A camera cannot expose a frame for longer than the frame lasts, so the recorded time or the recorded rate is wrong. ' +
    'The picture may be fine.',
  limit: {
    at: 'an exposure longer than its frame, or its field',
    reason: 'the next frame begins when this one ends',
    source: 'arithmetic',
  },
  example: { weight: 'medium', exposureSeconds: 1 / 20, frameSeconds: 1 / 25 },
});
