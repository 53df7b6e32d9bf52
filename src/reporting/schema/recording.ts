import { z } from 'zod';
import { facts } from './facts.ts';
import { filter } from './filter.ts';
import { finding } from './finding.ts';
import { picture } from './picture.ts';
import { shutter } from './shutter.ts';
import { track } from './track.ts';

const exposure = z.object({
  ev100: z.number().exactOptional(),
  sceneEv100: z.number().exactOptional(),
  offsetStops: z.number().exactOptional().describe('+ = over'),
  basis: z.enum(['metered', 'picture']).exactOptional(),
});

export const recording = z.object({
  path: z.string().describe('relative to the dump, "/" on every system'),
  kind: z.enum(['clip', 'still']),
  sizeBytes: z.number().nonnegative(),
  sidecars: z.array(z.string()).readonly(),
  fingerprint: z.string().exactOptional().describe('the same for copies of one recording'),
  copies: z.array(z.string()).readonly().exactOptional().describe('paths of copies, not audited themselves'),
  continues: z
    .string()
    .exactOptional()
    .describe('path of the clip that this one goes on after that one reached the largest size of a file'),
  facts,
  track: track.exactOptional(),
  shutter: shutter.exactOptional(),
  picture: picture.exactOptional(),
  exposure,
  filter: filter.exactOptional(),
  findings: z.array(finding).readonly(),
  refusals: z
    .array(z.object({ what: z.string(), raw: z.string(), source: z.string(), reason: z.string() }))
    .readonly(),
});
