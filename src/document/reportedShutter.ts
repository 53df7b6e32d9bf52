import { z } from 'zod';
import type { Read } from './quantities.ts';

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

export type ReportedShutter = Read<typeof shutterSchema>;
