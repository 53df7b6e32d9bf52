import { z } from 'zod';
import { fraction, maxAndMedian, seconds, type Read } from './quantities.ts';

const reportedFrame = z.object({
  atSeconds: seconds,
  clippedFraction: fraction,
  levelStops: z.number().optional(),
  motionPixelsPerFrame: z.number().nonnegative().optional(),
});

export const pictureSchema = z.object({
  framesMeasured: z.number().int().nonnegative(),
  // Fewer where a document holds more than 100 clips; of each stretch the one that clips most.
  frames: z
    .array(reportedFrame)
    .optional()
    .describe('the looked-at frames of a clip over time, thinned to at most 200'),
  samplingStepSeconds: z.number().optional(),
  ceiling: z.object({ signal: z.number(), basis: z.enum(['nominal', 'observed', 'super-white']) }),
  clippedFraction: maxAndMedian,
  channelClippedFraction: maxAndMedian,
  clippedSpans: z.array(
    z.object({
      startSeconds: seconds,
      endSeconds: seconds,
      maxFraction: fraction,
      startToleranceSeconds: seconds.optional().describe('the edge is off by no more than this'),
      endToleranceSeconds: seconds.optional(),
    }),
  ),
  clippedShape: z.enum(['disc', 'area']).optional(),
  crushedFraction: maxAndMedian,
  levelStops: z
    .object({ median: z.number(), low: z.number(), high: z.number() })
    .optional()
    .describe('mean level of the picture against mid-grey, + = brighter'),
  motionPixelsPerFrame: z.object({ median: z.number(), high: z.number() }).optional(),
  rangeInUse: z
    .object({ name: z.enum(['narrow', 'full']), basis: z.enum(['recorded', 'assumed', 'codes']) })
    .optional()
    .describe('which codes were taken for black and white'),
  largestRegionFraction: fraction.optional().describe('of the frame that clips most'),
  clippedThirds: z
    .object({ upper: fraction, middle: fraction, lower: fraction })
    .optional()
    .describe('shares of the whole picture, as displayed'),
  clippedSpots: z.number().int().optional(),
  // Of the frame that loses most.
  burntChannels: z.object({ red: fraction, green: fraction, blue: fraction }).optional(),
  lightQuantilesStops: z
    .object({ p5: z.number(), p50: z.number(), p95: z.number() })
    .optional()
    .describe('scene light within the typical frame against mid-grey'),
  // How much brighter the brightest frame could have been.
  headroomStops: z.number().nonnegative().optional(),
  overexposure: z
    .object({
      leastStops: z.number(),
      lowStops: z.number(),
      highStops: z.number(),
      basis: z
        .enum(['experience', 'darker-frames', 'tail'])
        .describe('"tail": as earlier versions call "experience"'),
    })
    .optional()
    .describe('how much darker it should have been: a bound, and an interval that holds four times of five'),
  motion: z
    .object({
      widthsPerSecond: z.object({ median: z.number(), high: z.number() }),
      directionDegrees: z.number().optional().describe('clockwise, 0 up'),
      followedTiles: z.number().int(),
      tiles: z.number().int(),
    })
    .optional(),
  flickerStops: z.number().nonnegative().optional(),
});

export type ReportedPicture = Read<typeof pictureSchema>;
