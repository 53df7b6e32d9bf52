import type { Command } from 'commander';
import { learn } from '../../logbook/learning.ts';
import { learnedPage } from '../../report/logbook/learnedPage.tsx';
import { learnedText } from '../../report/logbook/learnedText.ts';
import { exitStatus } from '../exitStatus.ts';
import { logbookOption, type CommandLine } from '../flags.ts';
import { withLogbook } from '../logbookFile.ts';
import { writePage } from '../outputs.ts';
import { outputStyle } from '../streams.ts';

interface LearnFlags {
  readonly logbook?: string;
  readonly json?: boolean;
  readonly page?: string;
}

export function addCommand(program: Command, { end }: CommandLine): void {
  program
    .command('learn')
    .description(
      'which filters worked, how strong they really are, and how your light differs from the books',
    )
    .addOption(logbookOption())
    .option('--json', 'print it for other programs and nothing else')
    .option('--page <file>', 'write it as a page with plots')
    .addHelpText('after', '\nExample:\n  halfturn learn --page learned.html')
    .action(async (flags: LearnFlags) => end(await runLearn(flags)));
}

async function runLearn({ logbook: file, json, page }: LearnFlags): Promise<number> {
  const observations = await withLogbook(file, false, (logbook) => logbook.observations());
  const report = learn(observations, new Date().toISOString());
  if (page !== undefined) await writePage(page, learnedPage(report));
  process.stdout.write(
    json === true
      ? `${JSON.stringify(report, undefined, 2)}\n`
      : learnedText(report, outputStyle(process.stdout).columns),
  );
  if (page !== undefined && json !== true) process.stdout.write(`\nThe page is ${page}.\n`);
  return exitStatus.finished;
}
