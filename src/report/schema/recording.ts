import { z } from 'zod';
import { facts } from './facts.ts';
import { filter } from './filter.ts';
import { finding } from './finding.ts';
import { picture } from './picture.ts';
import { shutter } from './shutter.ts';
import { track } from './track.ts';

const exposure = z.object({
  ev100: z.number().optional(),
  sceneEv100: z.number().optional(),
  offsetStops: z.number().optional().describe('+ = over'),
  basis: z.enum(['metered', 'picture']).optional(),
});

export const recording = z.object({
  path: z.string().describe('relative to the dump, "/" on every system'),
  kind: z.enum(['clip', 'still']),
  sizeBytes: z.number().nonnegative(),
  sidecars: z.array(z.string()).readonly(),
  fingerprint: z.string().optional().describe('the same for copies of one recording'),
  copies: z.array(z.string()).readonly().optional().describe('paths of copies, not audited themselves'),
  continues: z
    .string()
    .optional()
    .describe('path of the clip that this one goes on after that one reached the largest size of a file'),
  facts,
  track: track.optional(),
  shutter: shutter.optional(),
  picture: picture.optional(),
  exposure,
  filter: filter.optional(),
  findings: z.array(finding).readonly(),
  refusals: z
    .array(z.object({ what: z.string(), raw: z.string(), source: z.string(), reason: z.string() }))
    .readonly(),
});
