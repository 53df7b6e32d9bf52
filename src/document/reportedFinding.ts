import { z } from 'zod';
import { findingKinds } from '../findings/index.ts';
import { seconds, type Infer } from './quantities.ts';

export const findingSchema = z.object({
  kind: z.enum(findingKinds),
  weight: z.enum(['high', 'medium', 'low']),
  text: z.string(),
  detail: z.string().optional(),
  inTheEdit: z.string().optional(),
  nextTime: z.string().optional(),
  startSeconds: seconds.optional(),
  endSeconds: seconds.optional(),
});

export type ReportedFinding = Infer<typeof findingSchema>;
