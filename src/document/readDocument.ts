import { z } from 'zod';
import { HalfturnError } from '../domain/halfturnError.ts';
import { displayText } from '../domain/displayText.ts';
import { auditDocumentSchema, type AuditDocument } from './auditDocument.ts';

const newestVersion = 1;
const head = z.object({ format: z.literal('halfturn-audit'), formatVersion: z.number().int().positive() });

/** Reads an audit document of any version so far. What does not fit is a HalfturnError that says where. */
export function readAuditDocument(text: string, name: string): AuditDocument {
  const value = parsedJson(text, name);
  const { data } = head.safeParse(value);
  if (data === undefined)
    throw new HalfturnError(
      `"${displayText(name)}" is not an audit document of Halfturn`,
      'Give the audit.json that "halfturn audit --out" wrote.',
    );
  if (data.formatVersion > newestVersion)
    throw new HalfturnError(
      `"${displayText(name)}" has format version ${data.formatVersion}, and this Halfturn reads versions up to ${newestVersion}`,
      'Use the Halfturn that wrote it, or a newer one.',
    );
  const read = auditDocumentSchema.safeParse(value);
  if (read.success) return read.data;
  const [issue] = read.error.issues;
  const place = issue === undefined || issue.path.length === 0 ? 'the whole' : issue.path.join('.');
  throw new HalfturnError(
    `"${displayText(name)}" is damaged or was changed by hand: ${displayText(place)} is not what it must be`,
    'Write it again with "halfturn audit"; "halfturn schema" says what it must hold.',
  );
}

function parsedJson(text: string, name: string): unknown {
  try {
    return JSON.parse(text.replace(/^\ufeff/, ''));
  } catch {
    throw new HalfturnError(
      `"${displayText(name)}" is not JSON, or not all of it is there`,
      'Give the audit.json that "halfturn audit --out" wrote.',
    );
  }
}
