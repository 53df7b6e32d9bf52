import type { AuditDocument } from '../domain/report.ts';
import { clipsCsv } from './csv.ts';
import { htmlReport } from './html/page.tsx';
import { jsonReport } from './json.ts';

type FileReport = (document: AuditDocument) => string;

/** What `--out` writes: file name → the function that makes its text. */
export const fileReports: Readonly<Record<string, FileReport>> = {
  'report.html': htmlReport,
  'audit.json': jsonReport,
  'clips.csv': clipsCsv,
};
