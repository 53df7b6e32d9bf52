import type { CommandLine } from './flags.ts';
import { readFileSync } from 'node:fs';
import { Command, type CommanderError } from 'commander';

interface CommandFile {
  /** @param everything the program with all its commands, for what tells of them */
  readonly addCommand: (
    program: Command,
    commandLine: CommandLine,
    everything: () => Promise<Command>,
  ) => void;
}

// In the order of the help. Each is loaded when it is called: an audit need not wait for the code of all the others.
const commandFiles = new Map<string, () => Promise<CommandFile>>([
  ['audit', () => import('./commands/auditCommand.ts')],
  ['show', () => import('./commands/showCommand.ts')],
  ['report', () => import('./commands/reportCommand.ts')],
  ['explain', () => import('./commands/explainCommand.ts')],
  ['init', () => import('./commands/initCommand.ts')],
  ['kit', () => import('./commands/kitCommand.ts')],
  ['note', () => import('./commands/noteCommand.ts')],
  ['logbook', () => import('./commands/logbookCommand.ts')],
  ['learn', () => import('./commands/learnCommand.ts')],
  ['plan', () => import('./commands/planCommand.ts')],
  ['schema', () => import('./commands/schemaCommand.ts')],
  ['completion', () => import('./commands/completionCommand.ts')],
  ['doctor', () => import('./commands/doctorCommand.ts')],
]);

/** The program with the command that is called, or with all of them where it is none: for the help. */
export async function buildProgram(args: readonly string[], commandLine: CommandLine): Promise<Command> {
  const program = new Command('halfturn')
    .description(
      'Checks a memory-card dump after a flight: was the shutter right, what clipped, which ND filter would have fixed it.',
    )
    .version(packageVersion(), '--version')
    .helpOption('-h, --help', 'show this help')
    .configureOutput({ outputError: (text, write) => write(inOurWords(text)) });
  const called = commandFiles.get(args[0] ?? '');
  const files = await Promise.all(
    (called === undefined ? [...commandFiles.values()] : [called]).map((load) => load()),
  );
  for (const { addCommand } of files) addCommand(program, commandLine, () => buildProgram([], commandLine));
  throwErrors(program);
  return program;
}

function inOurWords(text: string): string {
  return text
    .replace(/^error: /, 'halfturn: ')
    .replace(/too many arguments for .*/, 'that is more than this command takes.')
    .replace(/option '(.+)' argument missing/, '$1 needs its value.')
    .replace(/missing required argument '(.+)'/, '<$1> is missing.');
}

/** Errors of the command line are thrown, behind what helps: the command's help where something is missing of it. */
function throwErrors(command: Command): void {
  command.exitOverride((error: CommanderError) => {
    if (isMissing.has(error.code)) {
      process.stderr.write('\n');
      command.outputHelp({ error: true });
    } else if (error.exitCode !== 0 && error.code !== 'commander.help') {
      // "halfturn kit ND16" reaches a command that nobody typed.
      const typed = error.code === 'commander.excessArguments' ? topOf(command) : command;
      process.stderr.write(`Run "${pathOf(typed)} --help" for what it takes.\n`);
    }
    throw error;
  });
  command.commands.forEach(throwErrors);
}

const isMissing = new Set([
  'commander.missingArgument',
  'commander.missingMandatoryOptionValue',
  'commander.optionMissingArgument',
]);

function topOf(command: Command): Command {
  return command.parent?.parent ? topOf(command.parent) : command;
}

/** As it is typed: `halfturn kit add`. */
function pathOf(command: Command): string {
  return command.parent === null ? command.name() : `${pathOf(command.parent)} ${command.name()}`;
}

/** The version in package.json, which lies two folders up both from src/cli and from dist/cli. */
function packageVersion(): string {
  const text = readFileSync(new URL('../../package.json', import.meta.url), 'utf8');
  return (JSON.parse(text) as { version: string }).version;
}
