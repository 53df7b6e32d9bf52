import { formatExposure } from '../domain/format.ts';
import { finding } from './finding.ts';
import {
  addedBlur,
  angleData,
  angleOutside,
  comparedWithTarget,
  shutterConsequence,
  toleranceText,
} from './shutterVerdict.ts';

export const shutterShort = finding({
  kind: 'shutter-short',
  data: angleData,
  topic: 'shutter',
  title: 'shutter too short',
  check: (judged) => angleOutside(judged, 'short'),
  sentence: (angle, context) =>
    `${comparedWithTarget(angle, 'short')} ${shutterConsequence(context, 'choppy')}`,
  remedy: ({ angleDegrees, targetSeconds, offsetStops }, { matters, advised }) => ({
    inTheEdit:
      matters === 'no'
        ? 'Nothing needs to be done about the shutter.'
        : addedBlur(angleDegrees, angleDegrees / 2 ** offsetStops),
    nextTime: `Set ${formatExposure(targetSeconds)} by hand${advised ? '' : '; a filter takes away what is then too bright'}.`,
  }),
  meaning:
    'Each frame is sharper than the eye expects of motion: gaps between one frame and the next make what moves look choppy. ' +
    'It shows in pans, fly-bys and turning rotors, and hardly where the picture stands still.',
  limit: {
    at: `an angle below ${toleranceText}; more than one stop short weighs high where it was recorded`,
    reason:
      'it accepts the usual 1/48, 1/50 and 1/60 s at 24 to 30 frames/s and no neighbouring mark. ' +
      'In a picture that hardly moves it weighs one step less: the setting is wrong, and nobody sees it',
    source:
      'half the frame time: common practice, no source. Whether it shows: charts for pans that camera manuals print ' +
      '(7 s across the picture at 24 frames/s and 180°)',
  },
  example: {
    weight: 'high',
    exposureSeconds: 1 / 800,
    targetSeconds: 1 / 50,
    angleDegrees: 11.25,
    offsetStops: -4,
  },
});
