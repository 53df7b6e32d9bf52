import type { AuditDocument, ReportedSequence } from '../document/auditDocument.ts';

/** 70 is EX_SOFTWARE of sysexits.h. */
export const exitStatus = { finished: 0, flagged: 1, notDone: 2, bug: 70 } as const;

/** A finished audit ends with 0, or with 1 where `--strict` was given and something was flagged or unreadable. */
export function auditExitStatus(document: AuditDocument, strict: boolean): number {
  if (!strict) return exitStatus.finished;
  const { recordings, sequences, problems } = document;
  const isFlagged = ({ findings }: Pick<ReportedSequence, 'findings'>): boolean =>
    findings.some(({ weight }) => weight !== 'low');
  const flagged = recordings.some(isFlagged) || sequences.some(isFlagged);
  return flagged || problems.length > 0 ? exitStatus.flagged : exitStatus.finished;
}
