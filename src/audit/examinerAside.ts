import { fileURLToPath } from 'node:url';
import type { Problem } from '../domain/recording.ts';
import { noteChance } from '../programs/chance.ts';
import { ownProcess, OwnProcessEnded, type OwnProcess } from '../programs/ownProcess.ts';
import type { DumpEntry } from '../reading/dumpEntries.ts';
import type { Work } from './examine.ts';
import type { Examined } from './examined.ts';
import type { Examiner } from './examiner.ts';

/** What the other process is asked. */
export interface ToExamine {
  readonly entry: DumpEntry;
  readonly work: Work;
}

/** What it answers. */
export interface ExaminedAside {
  readonly result: Examined;
  readonly byChance: boolean;
}

// Built, also from the tests: Node runs no TypeScript before version 22.18.
const usualProgram = fileURLToPath(new URL('../../dist/audit/examinerProgram.js', import.meta.url));

/**
 * Examines in a process of its own. A file on which a decoder crashes, or for which the memory does not suffice, ends
 * that process and becomes a problem; the audit goes on in a new one.
 *
 * @param program of the other process
 */
export function examinerAside(program: string = usualProgram): Examiner {
  const together = ownProcess(program);
  return {
    examine: (entry, work) =>
      asked(together, { entry, work }).catch((error: unknown) => {
        if (!(error instanceof OwnProcessEnded)) throw error;
        // Several were examined in it, and which of them ended it is not known.
        return examinedByItself({ entry, work }, program);
      }),
    finish: together.end,
  };
}

async function asked(other: OwnProcess, what: ToExamine): Promise<Examined> {
  const { result, byChance } = (await other.ask(what)) as ExaminedAside;
  if (byChance) noteChance();
  return result;
}

/** In a process that no other file can end. Where measuring ends it, what can be read without still stands. */
async function examinedByItself(what: ToExamine, program: string): Promise<Examined> {
  const { entry, work } = what;
  const alone = ownProcess(program);
  try {
    return await asked(alone, what);
  } catch (error) {
    if (!(error instanceof OwnProcessEnded)) throw error;
    noteChance();
    if (work.mode === 'off') return { problems: [unread(entry, error)] };
    const read = await examinedByItself({ entry, work: { ...work, mode: 'off' } }, program);
    if (read.recording === undefined) return read;
    return { ...read, problems: [...read.problems, unmeasured(entry, error)] };
  } finally {
    alone.end();
  }
}

function unread({ path }: DumpEntry, { message }: OwnProcessEnded): Problem {
  return {
    path,
    message: `made the part of Halfturn that reads files crash (${message})`,
    hint: 'It may be damaged: copy it from the card again. If that does not help, please report this with the file.',
  };
}

function unmeasured({ path }: DumpEntry, { message }: OwnProcessEnded): Problem {
  return {
    path,
    message: `was read, but made the part of Halfturn that measures pictures crash (${message})`,
    hint: 'What was recorded still stands. It may be damaged, or there was too little memory for its picture.',
  };
}
