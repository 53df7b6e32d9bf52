import { z } from 'zod';
import { formatAngle, formatExposure } from '../domain/format.ts';
import { finding, noLimit } from './finding.ts';
import { eitherAngle } from './shutterVerdict.ts';

export const shutterFieldOrFrame = finding({
  kind: 'shutter-field-or-frame',
  data: z.object({ exposureSeconds: z.number(), onFrameDegrees: z.number(), onFieldDegrees: z.number() }),
  topic: 'shutter',
  title: 'shutter counted on field or frame',
  check: ({ recording }) => {
    const { either } = eitherAngle(recording);
    const exposureSeconds = recording.facts.exposureSeconds?.value;
    if (either === undefined || exposureSeconds === undefined) return undefined;
    return { weight: 'low', exposureSeconds, ...either };
  },
  sentence: ({ exposureSeconds, onFrameDegrees, onFieldDegrees }) =>
    `The shutter was ${formatExposure(exposureSeconds)}, and the picture is stored in fields: an angle of ` +
    `${formatAngle(onFrameDegrees)} if both fields of a frame are of one moment, of ${formatAngle(onFieldDegrees)} if each has its own. ` +
    'Nothing tells which of them, so neither is judged.',
  remedy: () => ({ nextTime: 'Record in a progressive format, without fields, where the camera has one.' }),
  meaning:
    'The picture is stored as two fields for each frame, and nothing tells whether they were taken one after the other. The ' +
    'shutter angle is twice as large in one case as in the other.',
  limit: { at: noLimit, reason: 'both angles are possible', source: 'Recommendation ITU-R BT.709-6' },
  example: { weight: 'low', exposureSeconds: 1 / 50, onFrameDegrees: 180, onFieldDegrees: 360 },
});
