import { CommanderError } from 'commander';
import { HalfturnError } from '../domain/halfturnError.ts';
import { sentence } from '../reporting/cautions.ts';
import { usualCardPlaces, type CardPlaces } from './cards/cardPlaces.ts';
import { buildProgram } from './program.ts';
import { exitStatus } from './exitStatus.ts';

/**
 * Runs the command line and returns the exit status. Expected failures are one sentence; bugs keep their stack trace.
 *
 * @param cardPlaces where a card is looked for when no folder is named
 */
export async function main(
  args: readonly string[],
  cardPlaces: CardPlaces = usualCardPlaces(process.platform),
): Promise<number> {
  process.stdout.on('error', leaveWhenOutputFails);
  // Without these, "exit" handlers do not run and the programs that were started live on.
  for (const [signal, number] of [
    ['SIGINT', 2],
    ['SIGTERM', 15],
    ['SIGHUP', 1],
  ] as const)
    process.on(signal, () => process.exit(128 + number));
  let status: number = exitStatus.finished;
  const program = buildProgram((ended) => (status = ended), cardPlaces);
  try {
    await program.parseAsync(args, { from: 'user' });
    return status;
  } catch (error) {
    if (error instanceof CommanderError)
      return error.exitCode === 0 ? exitStatus.finished : exitStatus.notDone;
    if (error instanceof HalfturnError) return sayWhatToDo(error);
    process.stderr.write(
      `This is a fault in Halfturn, not in your files.\n${error instanceof Error ? error.stack : String(error)}\n`,
    );
    return exitStatus.bug;
  }
}

function sayWhatToDo(error: HalfturnError): number {
  const sentences = [error.message, error.hint ?? ''].filter((part) => part !== '').map(sentence);
  process.stderr.write(`halfturn: ${sentences.join(' ')}\n`);
  return exitStatus.notDone;
}

/** `halfturn audit … | head` closes our output early: that is no error of ours. A full disk is none of ours either. */
function leaveWhenOutputFails(error: NodeJS.ErrnoException): never {
  if (error.code === 'EPIPE') process.exit(exitStatus.finished);
  const said = new HalfturnError(
    `What was found could not be written to standard output: ${error.message}.`,
    'Send it to a file on a disk that has room, or to a terminal.',
  );
  process.exit(sayWhatToDo(said));
}
