import { z } from 'zod';
import { fraction, filterSchema, findingSchema, recordingSchema, type Infer } from './reportedRecording.ts';

const kitFilter = z.object({
  label: z.string(),
  // Of a variable filter, its weakest setting.
  stops: z.number(),
  rangeStops: z.tuple([z.number(), z.number()]).optional(),
  polariser: z.boolean().optional(),
  // Owned, and never counted.
  graduated: z.boolean().optional(),
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
  // The pilot named no filters: common strengths stand for them.
  kitAssumed: z.boolean(),
});

const sequence = z.object({
  kind: z.enum(['bracket', 'interval', 'mapping', 'burst', 'panorama']),
  paths: z.array(z.string()),
  takenAs: z.string().optional().describe('what it was taken as and what tells, for people'),
  // Of a bracket: each frame against the normal one, + = brighter.
  stepsStops: z.array(z.number()).optional(),
  spanStops: z.number().optional().describe('from the darkest to the brightest frame of a bracket'),
  intervalSeconds: z.number().optional(),
  angleDegrees: z.number().optional().describe('360 x exposure / interval'),
  exposureSeconds: z.number().optional(),
  targetSeconds: z.number().optional().describe('the exposure that the interval wants'),
  // Frames that the interval promises and that are not there.
  missingFrames: z.number().optional(),
  // How long the series plays at common rates.
  playback: z.array(z.object({ framesPerSecond: z.number(), seconds: z.number().nonnegative() })).optional(),
  // Of a mapping flight.
  stepMetres: z.number().optional().describe('usual way between two pictures'),
  speedMetresPerSecond: z.number().optional(),
  heightMetres: z.number().optional().describe('over the start'),
  blurPixels: z.number().optional().describe('usual motion of the ground while the shutter was open'),
  // Of a burst.
  picturesPerSecond: z.number().optional(),
  // Of a panorama.
  turnDegrees: z.number().optional(),
  filter: filterSchema.optional(),
  findings: z.array(findingSchema),
});

/** Fields that it does not know are ignored, as later versions may add some. */
export const auditDocumentSchema = z.object({
  format: z.literal('halfturn-audit'),
  formatVersion: z.literal(1),
  generatedAt: z.string(),
  // As it was given.
  dump: z.string(),
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
  // Files that were recognised and left alone, counted by what they are.
  leftAside: z.record(z.string(), z.number()),
  // What was done with single files, where the counts do not say enough.
  notes: z.array(z.object({ path: z.string(), message: z.string() })).optional(),
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
