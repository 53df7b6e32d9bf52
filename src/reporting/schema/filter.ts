import { z } from 'zod';
import { fraction } from './quantities.ts';

export const filter = z.object({
  fitted: z
    .object({
      label: z.string(),
      stops: z.number(),
      source: z.string(),
      spreadStops: z.number().exactOptional().describe('how far its strength is not known'),
    })
    .exactOptional(),
  neededStops: z.number().nonnegative().exactOptional(),
  darkestNeededStops: z
    .number()
    .nonnegative()
    .exactOptional()
    .describe('the same for the darkest part that lasts'),
  additionalStops: z
    .number()
    .exactOptional()
    .describe('light still to be taken away against what was fitted; negative = too much was taken'),
  lightSpanStops: z.number().exactOptional().describe('brightest against darkest part that lasts'),
  change: z.enum(['none', 'stronger', 'weaker']).exactOptional(),
  assumesNothingFitted: z
    .boolean()
    .exactOptional()
    .describe('nobody said what was fitted: the pick holds if nothing was, else on top of what was'),
  keepsIso: z.boolean().exactOptional().describe('no ISO was recorded: it is taken as unchanged'),
  pick: z
    .object({
      label: z.string(),
      stops: z.number().describe('of a variable filter, what to set it to'),
      leavesStops: z.number(),
      darkestLeavesStops: z.number().exactOptional(),
      variable: z.boolean().exactOptional(),
    })
    .exactOptional()
    .describe('best of the kit; leavesStops + = over'),
  basis: z.string().exactOptional(),
  highlights: z
    .object({
      offsetStops: z.number(),
      burntFraction: fraction.exactOptional(),
      firstStep: z.boolean().exactOptional(),
      beyondStops: z.number().exactOptional(),
    })
    .exactOptional()
    .describe('where the highlights want the exposure against the meter, - = darker'),
  meterAndPicture: z
    .object({ meteredStops: z.number(), pictureStops: z.number() })
    .exactOptional()
    .describe('both, where they differ by more than the subject explains'),
  uncertaintyStops: z.number().exactOptional(),
  otherwise: z.array(z.string()).readonly(),
});
