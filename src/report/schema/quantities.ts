import { z } from 'zod';

export const seconds = z.number().nonnegative();
export const fraction = z.number().min(0).max(1);

export const minMedianMax = z.object({ min: z.number(), median: z.number(), max: z.number() });
export const maxAndMedian = z.object({ max: fraction, median: fraction });
