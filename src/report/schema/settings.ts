import { z } from 'zod';
import { fraction } from './quantities.ts';

export const settings = z.object({
  shutterAngleDegrees: z.number().positive().max(360),
  shutterToleranceStops: z.number().nonnegative(),
  baseIso: z.number().positive(),
  windowStops: z.tuple([z.number(), z.number()]).readonly(),
  clippedFraction: fraction,
  measure: z.enum(['off', 'sampled', 'every']),
  kit: z
    .array(
      z.object({
        label: z.string(),
        stops: z.number(),
        rangeStops: z.tuple([z.number(), z.number()]).readonly().optional(),
        polariser: z.boolean().optional(),
        graduated: z.boolean().optional(),
        measured: z
          .object({
            labelStops: z.number(),
            interval: z.tuple([z.number(), z.number()]).readonly(),
            pairs: z.number().int().nonnegative(),
          })
          .optional()
          .describe("the strength is not the label's but what the logbook found; interval 95%"),
      }),
    )
    .readonly(),
  longestExposureSeconds: z.number().optional(),
  secondBaseIso: z.number().optional(),
  kitAssumed: z.boolean(),
});
