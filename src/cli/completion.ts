import type { Command, Option } from 'commander';
import { findingKinds } from '../findings/index.ts';

export const shells = ['bash', 'zsh', 'fish'] as const;
export type Shell = (typeof shells)[number];

/** One command as it is typed, with what may follow it. */
interface Place {
  /** `halfturn kit add` */
  readonly typed: string;
  readonly commands: readonly Word[];
  readonly options: readonly Choice[];
  /** What its argument may be. */
  readonly argument: Value;
}

interface Value {
  /** What the help calls it. */
  readonly name: string;
  readonly isFile: boolean;
  /** Empty where it is not one of a few. */
  readonly words: readonly string[];
}

interface Word {
  readonly word: string;
  readonly text: string;
}

interface Choice {
  readonly flags: readonly string[];
  readonly text: string;
  /** Absent where none follows. */
  readonly value?: Value;
}

/** A script for a shell: it completes commands, options, values that are one of a few, and files where one is meant. */
export function completionScript(shell: Shell, program: Command): string {
  return scripts[shell](placesBelow(program, program.name()));
}

const scripts: Readonly<Record<Shell, (places: readonly Place[]) => string>> = {
  bash: bashScript,
  zsh: zshScript,
  fish: fishScript,
};

function placesBelow(command: Command, typed: string): readonly Place[] {
  const help = command.createHelp();
  const own: Place = {
    typed,
    commands: help.visibleCommands(command).map((each) => ({ word: each.name(), text: each.description() })),
    options: help.visibleOptions(command).map(choiceOf),
    argument: valueNamed(
      command.registeredArguments[0]?.name() ?? '',
      command.registeredArguments[0]?.argChoices,
    ),
  };
  return [own, ...command.commands.flatMap((each) => placesBelow(each, `${typed} ${each.name()}`))];
}

function choiceOf({ short, long, flags, description, argChoices }: Option): Choice {
  const name = /[<[](.+?)[\]>]/.exec(flags)?.[1];
  return {
    flags: [short, long].filter((flag) => flag !== undefined),
    text: description,
    value: name === undefined ? undefined : valueNamed(name, argChoices),
  };
}

/** What the help calls that which names a file or a folder. */
const fileNames: ReadonlySet<string> = new Set(['dump', 'file', 'folder', 'audit.json']);

function valueNamed(name: string, choices: readonly string[] = []): Value {
  return { name, isFile: fileNames.has(name), words: name === 'finding' ? findingKinds : choices };
}

// The shells share one idea: walk the words that stand already to the command that they name, then offer what may follow.

const quoted = (text: string): string => `'${text.replaceAll("'", "'\\''")}'`;
const listed = (words: readonly string[]): string => words.map(quoted).join(' ');
const flagsOf = (places: readonly Choice[]): readonly string[] => places.flatMap(({ flags }) => flags);

/** Cases of a shell's `case` that go from a command to the one below it. */
function steps(places: readonly Place[], indent: string): string {
  const below = places.slice(1).map(({ typed }) => `${indent}${quoted(typed)}) at=${quoted(typed)} ;;`);
  return below.join('\n');
}

/** What follows an option that takes a value. */
function valueCases(places: readonly Place[], line: (value: Value) => string, indent: string): string {
  return places
    .flatMap(({ typed, options }) =>
      options.flatMap(({ flags, value }) => {
        if (value === undefined) return [];
        const patterns = flags.map((flag) => quoted(`${typed} ${flag}`)).join(' | ');
        return `${indent}${patterns}) ${line(value)}; return ;;`;
      }),
    )
    .join('\n');
}

function bashScript(places: readonly Place[]): string {
  // Where no file is meant, bash shall not look for one. That of macOS has no compopt and looks.
  const files = ({ isFile }: Value) => (isFile ? '' : 'compopt +o default +o bashdefault 2>/dev/null; ');
  const words = places.map(({ typed, commands, options, argument }) => {
    const plain = [...commands.map(({ word }) => word), ...argument.words].join(' ');
    return `    ${quoted(typed)}) ${files(argument)}words=${quoted(plain)}; flags=${quoted(flagsOf(options).join(' '))} ;;`;
  });
  return `# Halfturn for bash
_halfturn() {
  local at=halfturn current="\${COMP_WORDS[COMP_CWORD]}" words= flags= i
  for ((i = 1; i < COMP_CWORD; i++)); do
    case "$at \${COMP_WORDS[i]}" in
${steps(places, '      ')}
    esac
  done
  COMPREPLY=()
  case "$at \${COMP_WORDS[COMP_CWORD - 1]}" in
${valueCases(places, (value) => `${files(value)}COMPREPLY=($(compgen -W ${quoted(value.words.join(' '))} -- "$current"))`, '    ')}
  esac
  case "$at" in
${words.join('\n')}
  esac
  [[ $current == -* ]] && words=$flags
  COMPREPLY=($(compgen -W "$words" -- "$current"))
}
complete -o bashdefault -o default -F _halfturn halfturn
`;
}

function zshScript(places: readonly Place[]): string {
  const described = (word: string, text: string) => quoted(`${word.replaceAll(':', '\\:')}:${text}`);
  const files = ({ name, isFile, words }: Value) => {
    if (words.length > 0) return `compadd -- ${listed(words)}`;
    return isFile ? '_files' : `_message ${quoted(name === '' ? 'nothing follows' : name)}`;
  };
  const offers = places.map(({ typed, commands, options, argument }) => {
    const plain = commands.map(({ word, text }) => described(word, text)).join(' ');
    const dashed = options.flatMap(({ flags, text }) => flags.map((flag) => described(flag, text))).join(' ');
    return `    ${quoted(typed)}) plain=(${plain}); dashed=(${dashed}); other=${quoted(files(argument))} ;;`;
  });
  return `# Halfturn for zsh
_halfturn() {
  local at=halfturn other= i
  local -a plain dashed
  for ((i = 2; i < CURRENT; i++)); do
    case "$at \${words[i]}" in
${steps(places, '      ')}
    esac
  done
  case "$at \${words[CURRENT - 1]}" in
${valueCases(places, files, '    ')}
  esac
  case "$at" in
${offers.join('\n')}
  esac
  if [[ \${words[CURRENT]} == -* ]]; then
    _describe option dashed
  elif ((\${#plain})); then
    _describe word plain
  else
    eval "$other"
  fi
}
compdef _halfturn halfturn
`;
}

function fishScript(places: readonly Place[]): string {
  const line = (typed: string, ...parts: readonly string[]) =>
    `complete -c halfturn -n ${quoted(`__halfturn_at ${quoted(typed)}`)} ${parts.join(' ')}`;
  const files = ({ isFile, words }: Value) =>
    isFile ? ['-F'] : ['-f', ...(words.length === 0 ? [] : ['-a', quoted(words.join(' '))])];
  const lines = places.flatMap(({ typed, commands, options, argument }) => [
    ...commands.map(({ word, text }) => line(typed, '-f', '-a', word, '-d', quoted(text))),
    ...(argument.isFile ? [] : [line(typed, ...files(argument))]),
    ...options.map(({ flags, text, value }) =>
      line(
        typed,
        ...flags.map((flag) => (flag.startsWith('--') ? `-l ${flag.slice(2)}` : `-s ${flag.slice(1)}`)),
        ...(value === undefined ? [] : ['-r', ...files(value)]),
        '-d',
        quoted(text),
      ),
    ),
  ]);
  const below = places
    .slice(1)
    .map(({ typed }) => `            case ${quoted(typed)}\n                set at ${quoted(typed)}`);
  return `# Halfturn for fish
function __halfturn_at
    set -l at halfturn
    for word in (commandline -opc)[2..-1]
        switch "$at $word"
${below.join('\n')}
        end
    end
    test "$at" = "$argv[1]"
end
${lines.join('\n')}
`;
}
