import { z } from 'zod';
import { filter } from './filter.ts';
import { finding } from './finding.ts';
import { seconds } from './quantities.ts';

export const sequence = z.object({
  kind: z.enum(['bracket', 'interval']),
  paths: z.array(z.string()).readonly(),
  stepsStops: z.array(z.number()).readonly().optional(),
  spanStops: z.number().optional().describe('from the darkest to the brightest frame of a bracket'),
  intervalSeconds: z.number().optional(),
  angleDegrees: z.number().optional().describe('360 x exposure / interval'),
  exposureSeconds: z.number().optional(),
  targetSeconds: z.number().optional().describe('the exposure that the interval wants'),
  missingFrames: z.number().optional(),
  playback: z
    .array(z.object({ framesPerSecond: z.number(), seconds }))
    .readonly()
    .optional(),
  filter: filter.optional(),
  findings: z.array(finding).readonly(),
});
