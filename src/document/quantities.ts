import { z } from 'zod';

export const seconds = z.number().nonnegative();
export const fraction = z.number().min(0).max(1);
export const maxAndMedian = z.object({ max: fraction, median: fraction });

/** What a schema accepts, as a document holds it. */
export type Read<T extends z.ZodType> = Immutable<z.infer<T>>;
type Immutable<T> = { readonly [K in keyof T]: Immutable<T[K]> };
