import type { CommandLine } from './flags.ts';
import { readFileSync } from 'node:fs';
import { Command } from 'commander';

interface CommandFile {
  readonly addCommand: (program: Command, commandLine: CommandLine) => void;
}

// In the order of the help. Each is loaded when it is called: an audit need not wait for the code of all the others.
const commandFiles = new Map<string, () => Promise<CommandFile>>([
  ['audit', () => import('./commands/auditCommand.ts')],
  ['show', () => import('./commands/showCommand.ts')],
  ['report', () => import('./commands/reportCommand.ts')],
  ['explain', () => import('./commands/explainCommand.ts')],
  ['kit', () => import('./commands/kitCommand.ts')],
  ['note', () => import('./commands/noteCommand.ts')],
  ['logbook', () => import('./commands/logbookCommand.ts')],
  ['learn', () => import('./commands/learnCommand.ts')],
  ['plan', () => import('./commands/planCommand.ts')],
  ['schema', () => import('./commands/schemaCommand.ts')],
  ['doctor', () => import('./commands/doctorCommand.ts')],
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
