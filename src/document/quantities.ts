import { z } from 'zod';

export const seconds = z.number().nonnegative();
export const fraction = z.number().min(0).max(1);

/** What a schema accepts, as a document holds it. */
export type Infer<T extends z.ZodType> = Immutable<z.infer<T>>;
type Immutable<T> = unknown extends T ? T : { readonly [K in keyof T]: Immutable<T[K]> };
