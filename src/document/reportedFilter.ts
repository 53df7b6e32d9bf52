import { z } from 'zod';
import { fraction, type Read } from './quantities.ts';

export const filterSchema = z.object({
  fitted: z
    .object({
      label: z.string(),
      stops: z.number(),
      source: z.string(),
      spreadStops: z.number().optional().describe('how far its strength is not known'),
    })
    .optional(),
  neededStops: z.number().nonnegative().optional(),
  darkestNeededStops: z
    .number()
    .nonnegative()
    .optional()
    .describe('the same for the darkest part that lasts'),
  additionalStops: z
    .number()
    .optional()
    .describe('light still to be taken away against what was fitted; negative = too much was taken'),
  lightSpanStops: z.number().optional().describe('brightest against darkest part that lasts'),
  change: z.enum(['none', 'stronger', 'weaker']).optional(),
  assumesNothingFitted: z
    .boolean()
    .optional()
    .describe('nobody said what was fitted: the pick holds if nothing was, else on top of what was'),
  keepsIso: z.boolean().optional().describe('no ISO was recorded: it is taken as unchanged'),
  pick: z
    .object({
      label: z.string(),
      stops: z.number().describe('of a variable filter, what to set it to'),
      leavesStops: z.number(),
      darkestLeavesStops: z.number().optional(),
      variable: z.boolean().optional(),
    })
    .optional()
    .describe('best of the kit; leavesStops + = over'),
  basis: z.string().optional(),
  highlights: z
    .object({
      offsetStops: z.number(),
      burntFraction: fraction.optional(),
      firstStep: z.boolean().optional(),
      beyondStops: z.number().optional(),
    })
    .optional()
    .describe('where the highlights want the exposure against the meter, - = darker'),
  meterAndPicture: z
    .object({ meteredStops: z.number(), pictureStops: z.number() })
    .optional()
    .describe('both, where they differ by more than the subject explains'),
  uncertaintyStops: z.number().optional(),
  otherwise: z.array(z.string()),
});

export type ReportedFilter = Read<typeof filterSchema>;
