import { readFile } from 'node:fs/promises';
import { HalfturnError } from '../../domain/halfturnError.ts';
import { reportFiles } from '../../report/index.ts';
import { readAuditDocument } from '../../document/readDocument.ts';
import { exitStatus } from '../exitStatus.ts';
import { refuseOutputInsideDump } from '../outputs.ts';
import { writeReport } from '../reportFolder.ts';

export interface ReportFlags {
  readonly out: string;
}

/** Writes every file of a report again. The small pictures are not part of the document, so the page is without them. */
export async function runReport(file: string, { out }: ReportFlags): Promise<number> {
  const document = readAuditDocument(await textOf(file), file);
  await refuseOutputInsideDump(out, document.dump);
  await writeReport(out, reportFiles(document));
  process.stdout.write(`The report is in ${out}: open report.html first.\n`);
  return exitStatus.finished;
}

async function textOf(file: string): Promise<string> {
  try {
    return await readFile(file, 'utf8');
  } catch (error) {
    throw new HalfturnError(
      `"${file}" cannot be read: ${(error as Error).message}`,
      'Give the audit.json that "halfturn audit --out" wrote.',
    );
  }
}
