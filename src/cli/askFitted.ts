import { createInterface } from 'node:readline/promises';
import type { AuditDocument } from '../document/auditDocument.ts';
import { displayText } from '../domain/displayText.ts';
import type { FittedFilter, KitFilter } from '../domain/filterKit.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import { fittedFromFlag } from './flags.ts';
import { complain } from './streams.ts';

/** Whether light was told and nobody said through what: then the answer makes the advice right. */
export function wantsFitted({ recordings }: Pick<AuditDocument, 'recordings'>): boolean {
  return (
    recordings.some(({ filter }) => filter?.additionalStops !== undefined) &&
    recordings.every(({ filter }) => filter?.fitted === undefined)
  );
}

/** Asks once what was on the lens; undefined where that is not known, or what was typed is no filter. */
export async function askFitted(
  document: AuditDocument,
  kit: readonly KitFilter[],
): Promise<FittedFilter | undefined> {
  if (!wantsFitted(document)) return undefined;
  const labels = ['none', ...kit.map(({ label }) => displayText(label))].join(', ');
  const answer = await line(`\nWhich filter was on the lens all day (${labels})? Enter skips this: `);
  if (answer === '') return undefined;
  try {
    return fittedFromFlag(answer, kit);
  } catch (error) {
    if (!(error instanceof HalfturnError)) throw error;
    complain(error);
    return undefined;
  }
}

/** What is typed; nothing where the input ends. An interrupt is for main.ts to answer. */
async function line(question: string): Promise<string> {
  const lines = createInterface({ input: process.stdin, output: process.stdout });
  const ended = new Promise<string>((resolve) => lines.once('close', () => resolve('')));
  lines.once('SIGINT', () => {
    lines.close();
    process.kill(process.pid, 'SIGINT');
  });
  try {
    return (await Promise.race([lines.question(question), ended])).trim();
  } finally {
    lines.close();
  }
}
