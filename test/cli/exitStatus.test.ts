import { describe, expect, it } from 'vitest';
import { auditExitStatus } from '../../src/cli/exitStatus.ts';
import type { AuditDocument } from '../../src/document/auditDocument.ts';
import type { ReportedRecording } from '../../src/document/reportedRecording.ts';
import { exampleDocument } from '../report/exampleDocument.ts';

const quiet: AuditDocument = { ...exampleDocument, recordings: [], problems: [] };

function found(weight: 'high' | 'medium' | 'low'): AuditDocument {
  const [recording] = exampleDocument.recordings;
  const findings = [{ kind: 'shutter-short', weight, text: '' }] as const;
  return { ...quiet, recordings: [{ ...(recording as ReportedRecording), findings }] };
}

describe('auditExitStatus()', () => {
  it('is 0 for every finished audit without --strict', () => {
    expect(auditExitStatus(exampleDocument, false)).toBe(0);
  });

  it.each([
    ['high', 1],
    ['medium', 1],
    ['low', 0],
  ] as const)('with --strict a finding of weight %s gives %d', (weight, status) => {
    expect(auditExitStatus(found(weight), true)).toBe(status);
  });

  it('with --strict a file that could not be read gives 1, and nothing to say gives 0', () => {
    expect(auditExitStatus({ ...quiet, problems: exampleDocument.problems }, true)).toBe(1);
    expect(auditExitStatus(quiet, true)).toBe(0);
  });
});
