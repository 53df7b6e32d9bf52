import { z } from 'zod';
import { formatAngle, formatBlurAngle, formatExposure, stopsInWords } from '../domain/format.ts';
import { framesPerSecond } from '../domain/frameRate.ts';
import { exposureSecondsForAngle } from '../domain/shutter.ts';
import { finding } from './finding.ts';
import { addedBlur, judgeShutter, shutterConsequence } from './shutterVerdict.ts';

export const shutterShortByBlur = finding({
  kind: 'shutter-short-by-blur',
  data: z.object({
    /** The angle was at most this, with 95%. */
    highDegrees: z.number(),
    targetDegrees: z.number(),
    /** The exposure time of that angle; absent where the rate is unknown. */
    targetSeconds: z.number().optional(),
  }),
  topic: 'shutter',
  title: 'shutter too short by motion blur',
  check: (judged) => {
    const { recording, measurement, limits } = judged;
    const shutter = measurement?.shutter;
    const { frameRate } = recording.facts;
    if (recording.kind !== 'clip' || recording.facts.exposureSeconds !== undefined) return undefined;
    if (shutter?.verdict !== 'short' || shutter.interval === undefined) return undefined;
    return {
      weight: judgeShutter(judged)?.matters === 'no' ? 'low' : 'medium',
      highDegrees: shutter.interval.highDegrees,
      targetDegrees: limits.shutterAngleDegrees,
      targetSeconds:
        frameRate &&
        exposureSecondsForAngle({
          angleDegrees: limits.shutterAngleDegrees,
          framesPerSecond: framesPerSecond(frameRate.value),
        }),
    };
  },
  sentence: ({ highDegrees, targetDegrees }, context) =>
    `No exposure time is known, but the motion blur shows a shutter shorter than ${formatBlurAngle(highDegrees)} (95% sure): at least ` +
    `${stopsInWords(Math.log2(targetDegrees / highDegrees))} too short for ${formatAngle(targetDegrees)}. ${shutterConsequence(context, 'choppy')}`,
  remedy: ({ highDegrees, targetDegrees, targetSeconds }, { matters }) => ({
    inTheEdit:
      matters === 'no'
        ? 'Nothing needs to be done about the shutter.'
        : addedBlur(highDegrees, targetDegrees),
    nextTime: `Set ${targetSeconds === undefined ? 'the shutter' : formatExposure(targetSeconds)} by hand; a filter takes away what is then too bright.`,
  }),
  meaning:
    'No exposure time was recorded, and what moves in the picture is too sharp for the shutter angle that is wanted: ' +
    'it will look choppy. How short the shutter was exactly, so little blur cannot tell.',
  limit: {
    at: 'the motion blur shows a short shutter, with 95%; flagged where the picture moves enough for it to be seen',
    reason: 'below that the blur is too small to be measured, and still proves that the shutter was short',
    source: 'measured on rendered footage whose shutter is known exactly (npm run bench -- shutter)',
  },
  example: { weight: 'medium', highDegrees: 60, targetDegrees: 180, targetSeconds: 1 / 50 },
});
