import { readFileSync } from 'node:fs';
import { Command } from 'commander';
import type { CardPlaces } from './cards/search.ts';

/** What a command needs of the program around it. */
export interface CommandLine {
  /** Takes the exit status of a command that finished. */
  readonly end: (status: number) => void;
  /** Where a card is looked for when no folder is named. */
  readonly cardPlaces: CardPlaces;
}

interface CommandFile {
  readonly addCommand: (program: Command, commandLine: CommandLine) => void;
}

// In the order of the help. Each is loaded when it is called: an audit need not wait for the code of all the others.
const commandFiles = new Map<string, () => Promise<CommandFile>>([
  ['audit', () => import('./commands/audit.ts')],
  ['show', () => import('./commands/show.ts')],
  ['report', () => import('./commands/report.ts')],
  ['explain', () => import('./commands/explain.ts')],
  ['kit', () => import('./commands/kit.ts')],
  ['note', () => import('./commands/note.ts')],
  ['logbook', () => import('./commands/logbook.ts')],
  ['learn', () => import('./commands/learn.ts')],
  ['plan', () => import('./commands/plan.ts')],
  ['schema', () => import('./commands/schema.ts')],
  ['doctor', () => import('./commands/doctor.ts')],
]);

/** The program with the command that is called, or with all of them where it is none: for the help. */
export async function buildProgram(args: readonly string[], commandLine: CommandLine): Promise<Command> {
  const program = new Command('halfturn')
    .description(
      'Checks a memory-card dump after a flight: was the shutter right, what clipped, which ND filter would have fixed it.',
    )
    .version(packageVersion(), '--version')
    .helpOption('--help')
    .exitOverride()
    .configureOutput({ outputError: (text, write) => write(text.replace(/^error: /, 'halfturn: ')) })
    .showHelpAfterError('Run "halfturn --help" for the commands and options.');
  const called = commandFiles.get(args[0] ?? '');
  const files = await Promise.all(
    (called === undefined ? [...commandFiles.values()] : [called]).map((load) => load()),
  );
  for (const { addCommand } of files) addCommand(program, commandLine);
  return program;
}

/** The version in package.json, which lies two folders up both from src/cli and from dist/cli. */
function packageVersion(): string {
  const text = readFileSync(new URL('../../package.json', import.meta.url), 'utf8');
  return (JSON.parse(text) as { version: string }).version;
}
