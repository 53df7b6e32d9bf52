import { auditInto } from '../audit/auditInto.ts';
import { examinerAside } from '../audit/examinerAside.ts';
import type { AuditOptions } from '../audit/options.ts';
import type { AuditDocument } from '../document/auditDocument.ts';
import { openScratchFile } from '../cache/scratchFile.ts';

/** Audits what is small enough to be held; no file can end us. */
export function auditAside(dump: string, options: AuditOptions): Promise<AuditDocument> {
  return auditInto({ scratch: openScratchFile(undefined), examiner: examinerAside() }, dump, options);
}
