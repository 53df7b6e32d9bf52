import { HalfturnError } from '../domain/halfturnError.ts';
import { fileTrouble } from '../programs/fileTrouble.ts';
import { sentence } from '../report/dumpWording.ts';
import { exitStatus } from './exitStatus.ts';

let failure: NodeJS.ErrnoException | undefined;
let isWorking = false;
let status: number = exitStatus.finished;

/** Ends the program when nobody takes what it prints, unless it has more to do than to print. */
export function watchStandardOutput(): void {
  process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    failure ??= error;
    if (!isWorking) process.exit(statusWith(failure));
  });
  // Where complaints cannot be written there is nobody left to tell.
  process.stderr.on('error', () => {});
}

/** Work that is done to its end whether or not anybody takes what is printed on the way. */
export async function thoughNobodyReads<T>(work: () => Promise<T>): Promise<T> {
  isWorking = true;
  try {
    return await work();
  } finally {
    isWorking = false;
  }
}

/** The exit status of a program that is done, after what became of its output. */
export function statusAfterPrinting(ended: number): number {
  status = ended;
  return failure === undefined ? ended : statusWith(failure);
}

/** `halfturn audit … | head` closes our output early: that is no error of ours. A full disk is none of ours either. */
function statusWith(error: NodeJS.ErrnoException): number {
  if (error.code === 'EPIPE') return status;
  complain(
    new HalfturnError(
      `What was found could not be written to standard output: ${fileTrouble(error, 'write')}.`,
      'Send it to a file on a disk that has room, or to a terminal.',
    ),
  );
  return exitStatus.notDone;
}

/** Says on standard error what went wrong and what to do. */
export function complain({ message, hint = '' }: { message: string; hint?: string }): void {
  const sentences = [message, hint].filter((part) => part !== '').map(sentence);
  process.stderr.write(`halfturn: ${sentences.join(' ')}\n`);
}

/** How wide and how colourful a stream may be written to: 100 columns and plain where it is not a terminal. */
export function outputStyle(stream: NodeJS.WriteStream): { columns: number; colour: boolean } {
  const plain = (process.env['NO_COLOR'] ?? '') !== '' || process.env['TERM'] === 'dumb';
  return { columns: stream.columns ?? 100, colour: stream.isTTY === true && !plain };
}
