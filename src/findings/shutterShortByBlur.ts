import { z } from 'zod';
import { formatAngle, formatBlurAngle, stopsInWords } from '../domain/format.ts';
import { finding } from './finding.ts';
import { addedBlur, shutterConsequence } from './shutterVerdict.ts';

export const shutterShortByBlur = finding({
  kind: 'shutter-short-by-blur',
  data: z.object({
    /** The angle was at most this, with 95%. */
    highDegrees: z.number(),
    targetDegrees: z.number(),
  }),
  topic: 'shutter',
  title: 'shutter too short by motion blur',
  check: ({ recording, measurement, limits }) => {
    const shutter = measurement?.shutter;
    if (recording.kind !== 'clip' || recording.facts.exposureSeconds !== undefined) return undefined;
    if (shutter?.verdict !== 'short' || shutter.interval === undefined) return undefined;
    return {
      weight: 'medium',
      highDegrees: shutter.interval.highDegrees,
      targetDegrees: limits.shutterAngleDegrees,
    };
  },
  sentence: ({ highDegrees, targetDegrees }, context) =>
    `No exposure time is known, but the motion blur shows a shutter shorter than ${formatBlurAngle(highDegrees)} (95%): at least ` +
    `${stopsInWords(Math.log2(targetDegrees / highDegrees))} too short for ${formatAngle(targetDegrees)}. ${shutterConsequence(context, 'choppy')}`,
  remedy: ({ highDegrees, targetDegrees }) => ({
    inTheEdit: addedBlur(highDegrees, targetDegrees),
    nextTime: 'Set the shutter by hand, and take the light that is then too much away with a filter.',
  }),
  meaning:
    'No exposure time was recorded, and what moves in the picture is too sharp for the shutter angle that is wanted: ' +
    'it will look choppy. How short the shutter was exactly, so little blur cannot tell.',
  limit: {
    at: 'the motion blur shows a short shutter, with 95%',
    reason: 'below that the blur is too small to be measured, and still proves that the shutter was short',
    source: 'measured on rendered footage whose shutter is known exactly (npm run bench -- shutter)',
  },
  example: { weight: 'medium', highDegrees: 60, targetDegrees: 180 },
});
