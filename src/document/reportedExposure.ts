import { z } from 'zod';
import { fraction, type Infer } from './quantities.ts';

const blur = z.object({
  verdict: z
    .enum(['measured', 'short', 'cannot-tell'])
    .describe('short: only the upper end of the interval can be said'),
  angleDegrees: z.number().positive().optional(),
  interval: z.object({ lowDegrees: z.number(), highDegrees: z.number() }).optional().describe('95%'),
  class: z.enum(['short', 'on', 'long']).optional(),
  pairCount: z.number().nonnegative(),
  tileCount: z.number().nonnegative(),
  medianMotionPixels: z.number().nonnegative().optional(),
  reason: z
    .enum([
      'too-few-pairs',
      'too-little-motion',
      'too-little-texture',
      'too-noisy',
      'too-compressed',
      'mixed-motions',
      'bands-disagree',
      'windows-disagree',
      'repeated-frames',
      'uneven-sharpness',
      'repeating-texture',
      'interval-too-wide',
      'interlaced',
    ])
    .optional()
    .describe('why the blur does not tell the angle'),
  curve: z
    .array(z.object({ cyclesPerFrame: z.number(), attenuation: z.number(), fitted: z.number() }))
    .optional()
    .describe('detail left over frequency along the motion, and the fitted curve'),
});

export const shutterSchema = z.object({
  verdict: z.enum(['on', 'short', 'long', 'unknown']),
  angleDegrees: z.number().positive().optional(),
  offsetStops: z.number().optional().describe('log2(angle / target), - = shorter than the target'),
  basis: z.enum(['recorded', 'picture']).optional(),
  countedOn: z
    .enum(['frame', 'field'])
    .optional()
    .describe('only of pictures in fields: on the field where each has its own moment'),
  either: z
    .object({ onFrameDegrees: z.number(), onFieldDegrees: z.number() })
    .optional()
    .describe('both angles, where that could not be told'),
  interval: z.object({ lowDegrees: z.number(), highDegrees: z.number() }).optional(),
  blur: blur.optional().describe('what the motion blur tells, where it was looked at'),
  matters: z.enum(['yes', 'no', 'unknown']).describe('would anyone see it at the motion measured'),
  seen: z
    .object({ seenFractionOfWidth: z.number(), passableFractionOfWidth: z.number() })
    .optional()
    .describe('gap of a short shutter or blur of a long one, per frame, and how much of it passes'),
});

export const exposureSchema = z.object({
  // Of the recorded settings.
  ev100: z.number().optional(),
  // The light on the scene: adds the fitted filter and the exposure offset where they are known.
  sceneEv100: z.number().optional(),
  offsetStops: z.number().optional().describe('+ = over'),
  basis: z.enum(['metered', 'picture']).optional(),
});

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

export type ReportedShutter = Infer<typeof shutterSchema>;
export type ReportedExposure = Infer<typeof exposureSchema>;
export type ReportedFilter = Infer<typeof filterSchema>;
