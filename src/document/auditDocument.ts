import { z } from 'zod';
import { fraction, filterSchema, findingSchema, recordingSchema, type Infer } from './reportedRecording.ts';

const kitFilter = z.object({
  label: z.string(),
  stops: z.number().describe('of a variable filter, its weakest setting'),
  rangeStops: z.tuple([z.number(), z.number()]).optional(),
  polariser: z.boolean().optional(),
  graduated: z.boolean().optional().describe('owned, and never counted'),
  measured: z
    .object({
      labelStops: z.number(),
      interval: z.tuple([z.number(), z.number()]),
      pairs: z.number().int().nonnegative(),
    })
    .optional()
    .describe(
      "of earlier versions: the strength is not the label's but what the logbook found; interval 95%",
    ),
});

const settings = z.object({
  shutterAngleDegrees: z.number().positive().max(360),
  shutterToleranceStops: z.number().nonnegative(),
  baseIso: z.number().positive(),
  windowStops: z.tuple([z.number(), z.number()]),
  clippedFraction: fraction,
  holdChance: fraction.optional().describe('of burnt highlights, the share that the advice shall hold'),
  measure: z.enum(['off', 'sampled', 'every']),
  kit: z.array(kitFilter),
  longestExposureSeconds: z.number().optional(),
  secondBaseIso: z.number().optional(),
  kitAssumed: z.boolean().describe('the pilot named no filters: common strengths stand for them'),
});

const sequence = z.object({
  kind: z.enum(['bracket', 'interval', 'mapping', 'burst', 'panorama']),
  paths: z.array(z.string()),
  takenAs: z.string().optional().describe('what it was taken as and what tells, for people'),
  stepsStops: z
    .array(z.number())
    .optional()
    .describe('of a bracket: each frame against the normal one, + = brighter'),
  spanStops: z.number().optional().describe('from the darkest to the brightest frame of a bracket'),
  intervalSeconds: z.number().optional(),
  angleDegrees: z.number().optional().describe('360 x exposure / interval'),
  exposureSeconds: z.number().optional(),
  targetSeconds: z.number().optional().describe('the exposure that the interval wants'),
  missingFrames: z.number().optional().describe('frames that the interval promises and that are not there'),
  playback: z
    .array(z.object({ framesPerSecond: z.number(), seconds: z.number().nonnegative() }))
    .optional()
    .describe('how long the series plays at common rates'),
  stepMetres: z.number().optional().describe('of a mapping flight: usual way between two pictures'),
  speedMetresPerSecond: z.number().optional().describe('of a mapping flight'),
  heightMetres: z.number().optional().describe('of a mapping flight: over the start'),
  blurPixels: z
    .number()
    .optional()
    .describe('of a mapping flight: usual motion of the ground while the shutter was open'),
  picturesPerSecond: z.number().optional().describe('of a burst'),
  turnDegrees: z.number().optional().describe('of a panorama'),
  filter: filterSchema.optional(),
  findings: z.array(findingSchema),
});

/** Fields that it does not know are ignored, as later versions may add some. */
export const auditDocumentSchema = z.object({
  format: z.literal('halfturn-audit'),
  formatVersion: z.literal(1),
  generatedAt: z.string(),
  dump: z.string().describe('as it was given'),
  settings,
  recordings: z.array(recordingSchema),
  sequences: z.array(sequence),
  problems: z.array(
    z.object({
      path: z.string(),
      message: z.string(),
      hint: z.string(),
      detail: z.string().optional(),
      about: z.literal('notes').optional(),
    }),
  ),
  leftAside: z
    .record(z.string(), z.number())
    .describe('files that were recognised and left alone, counted by what they are'),
  notes: z
    .array(z.object({ path: z.string(), message: z.string() }))
    .optional()
    .describe('what was done with single files, where the counts do not say enough'),
  cautions: z.array(z.string()),
});

/** The value behind `audit.json` and `--json`, plain JSON throughout. Absent means unknown. */
export type AuditDocument = Infer<typeof auditDocumentSchema>;
export type ReportedSettings = Infer<typeof settings>;
export type ReportedSequence = Infer<typeof sequence>;

/** JSON Schema (draft 2020-12) of the audit document. */
export function auditJsonSchema(): object {
  return z.toJSONSchema(auditDocumentSchema, { io: 'input' });
}
