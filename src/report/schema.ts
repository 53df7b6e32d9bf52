import { z } from 'zod';
import type { AuditDocument } from '../domain/report.ts';
import { recording } from './schema/recording.ts';
import { sequence } from './schema/sequence.ts';
import { settings } from './schema/settings.ts';

/** Accepts exactly what `AuditDocument` promises; fields that it does not know are ignored, as later ones may be. */
export const auditDocumentSchema = z.object({
  format: z.literal('halfturn-audit'),
  formatVersion: z.literal(1),
  generatedAt: z.string(),
  dump: z.string(),
  settings,
  recordings: z.array(recording).readonly(),
  sequences: z.array(sequence).readonly(),
  problems: z
    .array(
      z.object({
        path: z.string(),
        message: z.string(),
        hint: z.string(),
        detail: z.string().optional(),
        about: z.literal('notes').optional(),
      }),
    )
    .readonly(),
  leftAside: z.record(z.string(), z.number()),
  notes: z
    .array(z.object({ path: z.string(), message: z.string() }))
    .readonly()
    .optional(),
  cautions: z.array(z.string()).readonly(),
});

type Same<A, B> = [A] extends [B] ? ([B] extends [A] ? true : never) : never;
/** Every part made obligatory: a part that may be absent would otherwise not be missed. */
type Whole<T> = T extends object ? { [K in keyof T]-?: Whole<T[K]> } : T;
type Parsed = z.infer<typeof auditDocumentSchema>;

// Does not compile where schema and type have drifted apart, in either direction.
true satisfies Same<Parsed, AuditDocument>;
true satisfies Same<Whole<Parsed>, Whole<AuditDocument>>;

/** JSON Schema (draft 2020-12) of the audit document. */
export function auditJsonSchema(): object {
  return z.toJSONSchema(auditDocumentSchema, {
    io: 'input',
    override: ({ jsonSchema }) => {
      // A published document is read-only anyway; saying so at every list would only hide the rest.
      delete jsonSchema.readOnly;
    },
  });
}
