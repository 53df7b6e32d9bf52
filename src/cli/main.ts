import { CommanderError } from 'commander';
import { HalfturnError } from '../domain/halfturnError.ts';
import { usualCardPlaces, type CardPlaces } from './cards/search.ts';
import { complain, statusAfterPrinting, watchStandardOutput } from './streams.ts';
import { withPlainPath } from './flags.ts';
import { buildProgram } from './program.ts';
import { exitStatus } from './exitStatus.ts';

/**
 * Runs the command line and returns the exit status. Expected failures are one sentence; bugs keep their stack trace.
 * @param cardPlaces where a card is looked for when no folder is named
 */
export async function main(
  args: readonly string[],
  cardPlaces: CardPlaces = usualCardPlaces(process.platform),
): Promise<number> {
  watchStandardOutput();
  // Without these, "exit" handlers do not run and the programs that were started live on.
  for (const [signal, number] of [
    ['SIGINT', 2],
    ['SIGTERM', 15],
    ['SIGHUP', 1],
  ] as const)
    process.on(signal, () => process.exit(128 + number));
  let status: number = exitStatus.finished;
  const commandLine = { end: (ended: number) => void (status = ended), cardPlaces };
  try {
    const program = await buildProgram(args, commandLine);
    await program.parseAsync(args.map(withPlainPath), { from: 'user' });
    return statusAfterPrinting(status);
  } catch (error) {
    if (error instanceof CommanderError)
      return error.exitCode === 0 ? exitStatus.finished : exitStatus.notDone;
    if (error instanceof HalfturnError) {
      complain(error);
      return exitStatus.notDone;
    }
    process.stderr.write(
      `This is a fault in Halfturn, not in your files.\n${error instanceof Error ? error.stack : String(error)}\n`,
    );
    return exitStatus.bug;
  }
}
