import { formatExposure } from '../domain/format.ts';
import { finding } from './finding.ts';
import {
  angleData,
  angleOutside,
  comparedWithTarget,
  shutterConsequence,
  toleranceText,
} from './shutterVerdict.ts';

export const shutterLong = finding({
  kind: 'shutter-long',
  data: angleData,
  topic: 'shutter',
  title: 'shutter too long',
  check: (judged) => angleOutside(judged, 'long'),
  sentence: (angle, context) =>
    `${comparedWithTarget(angle, 'long')} ${shutterConsequence(context, 'smeared')}`,
  remedy: ({ targetSeconds }, { advised }) => ({
    inTheEdit: 'Smear stays: use the stretches in which the camera moves least, or play the clip slower.',
    nextTime: `Set ${formatExposure(targetSeconds)} by hand${advised ? '' : ', with a weaker filter where there was one'}.`,
  }),
  meaning:
    'Each frame holds so much motion that what moves is smeared, and fine detail is lost for good. It shows most in pans and ' +
    'low, fast flight.',
  limit: {
    at: `an angle above ${toleranceText}; more than one stop long weighs high where it was recorded`,
    reason: 'it accepts the usual 1/48, 1/50 and 1/60 s at 24 to 30 frames/s and no neighbouring mark',
    source: 'half the frame time: common practice, no source',
  },
  example: {
    weight: 'medium',
    exposureSeconds: 1 / 30,
    targetSeconds: 1 / 60,
    angleDegrees: 360,
    offsetStops: 1,
  },
});
