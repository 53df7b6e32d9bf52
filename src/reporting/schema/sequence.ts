import { z } from 'zod';
import { filter } from './filter.ts';
import { finding } from './finding.ts';
import { seconds } from './quantities.ts';

export const sequence = z.object({
  kind: z.enum(['bracket', 'interval']),
  paths: z.array(z.string()).readonly(),
  stepsStops: z.array(z.number()).readonly().exactOptional(),
  spanStops: z.number().exactOptional().describe('from the darkest to the brightest frame of a bracket'),
  intervalSeconds: z.number().exactOptional(),
  angleDegrees: z.number().exactOptional().describe('360 x exposure / interval'),
  exposureSeconds: z.number().exactOptional(),
  targetSeconds: z.number().exactOptional().describe('the exposure that the interval wants'),
  missingFrames: z.number().exactOptional(),
  playback: z
    .array(z.object({ framesPerSecond: z.number(), seconds }))
    .readonly()
    .exactOptional(),
  filter: filter.exactOptional(),
  findings: z.array(finding).readonly(),
});
