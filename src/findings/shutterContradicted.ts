import { z } from 'zod';
import { formatAngle, formatBlurRange } from '../domain/format.ts';
import { shutterAngleDegrees } from '../domain/shutter.ts';
import { finding } from './finding.ts';
import { isMeasuredExposure } from './exposureOffset.ts';
import { usableShutter } from './shutterVerdict.ts';

export const shutterContradicted = finding({
  kind: 'shutter-contradicted',
  data: z.object({ recordedDegrees: z.number(), lowDegrees: z.number().optional(), highDegrees: z.number() }),
  topic: 'shutter',
  title: 'blur contradicts the recorded shutter',
  check: ({ recording, measurement, limits }) => {
    const shutter = usableShutter(recording);
    const interval = measurement?.shutter?.interval;
    if (shutter === undefined || interval === undefined || isMeasuredExposure(recording)) return undefined;
    const recordedDegrees = shutterAngleDegrees(shutter);
    const slack = 2 ** limits.shutterToleranceStops;
    if (
      recordedDegrees >= (interval.lowDegrees ?? 0) / slack &&
      recordedDegrees <= interval.highDegrees * slack
    )
      return undefined;
    return { weight: 'medium', recordedDegrees, ...interval };
  },
  sentence: ({ recordedDegrees, ...interval }) =>
    `The motion blur does not fit what was recorded: ${formatAngle(recordedDegrees)} by the recorded exposure, ` +
    `${formatBlurRange(interval)} by the blur. The frame rate may have been converted, the picture stabilised, or the tag may be wrong.`,
  remedy: () => ({ inTheEdit: 'Judge the motion by eye.' }),
  meaning:
    'The blur in the picture belongs to another shutter than the file says. Either the recorded time is not that of these ' +
    'frames, or the picture was changed after it was taken.',
  limit: {
    at: 'the recorded angle lies outside the 95% interval of the measured one by more than the tolerance (1/3 stop)',
    reason: 'two independent errors are allowed for: that of the measurement and that of rounded marks',
    source: 'measured on rendered footage whose shutter is known exactly (npm run bench -- shutter)',
  },
  example: { weight: 'medium', recordedDegrees: 180, lowDegrees: 80, highDegrees: 100 },
});
