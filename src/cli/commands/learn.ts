import { learn } from '../../logbook/learning.ts';
import { learnedPage } from '../../report/logbook/learnedPage.tsx';
import { learnedText } from '../../report/logbook/learnedText.ts';
import { exitStatus } from '../exitStatus.ts';
import { withLogbook } from '../logbookFile.ts';
import { writePage } from '../writePage.ts';
import { outputStyle } from '../outputStyle.ts';

export interface LearnFlags {
  readonly logbook?: string;
  readonly json?: boolean;
  readonly page?: string;
}

export async function runLearn({ logbook: file, json, page }: LearnFlags): Promise<number> {
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
