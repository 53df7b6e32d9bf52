import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { Argument, type Command } from 'commander';
import { readAuditDocument } from '../../document/readDocument.ts';
import { displayText } from '../../domain/displayText.ts';
import { HalfturnError } from '../../domain/halfturnError.ts';
import { fileTrouble } from '../../programs/fileTrouble.ts';
import { reportFiles } from '../../report/index.ts';
import { exitStatus } from '../exitStatus.ts';
import type { CommandLine } from '../flags.ts';
import { linkedPath, refuseOutputInsideDump } from '../outputs.ts';
import { writeReport } from '../reportFolder.ts';

interface ReportFlags {
  readonly out?: string;
}

export function addCommand(program: Command, { end }: CommandLine): void {
  program
    .command('report')
    .description('write the report of an audit again, from its audit.json')
    .addArgument(new Argument('<audit.json>', 'what an audit wrote, of this version or an earlier one'))
    .usage('<audit.json> --out <folder>')
    .option('--out <folder>', 'write the report and the files for editing programs there')
    .addHelpText('after', '\nExample:\n  halfturn report ~/reports/harbour/audit.json --out ~/reports/again')
    .action(async (file: string, flags: ReportFlags) => end(await runReport(file, flags)));
}

/** Writes every file of a report again. The small pictures are not part of the document, so the page is without them. */
async function runReport(file: string, { out }: ReportFlags): Promise<number> {
  const document = readAuditDocument(await textOf(file), file);
  if (out === undefined)
    throw new HalfturnError(
      'A report needs a folder.',
      `Name it: halfturn report ${displayText(file)} --out <folder>`,
    );
  await refuseOutputInsideDump(out, document.dump);
  await writeReport(out, reportFiles(document));
  const page = linkedPath(path.join(out, 'report.html'), process.stdout);
  process.stdout.write(`The report is in ${out}: open ${page} first.\n`);
  return exitStatus.finished;
}

async function textOf(file: string): Promise<string> {
  try {
    return await readFile(file, 'utf8');
  } catch (error) {
    throw new HalfturnError(
      `"${displayText(file)}" cannot be read: ${fileTrouble(error as Error)}.`,
      'Give the audit.json that "halfturn audit --out" wrote.',
    );
  }
}
