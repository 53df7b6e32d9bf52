import { Argument, type Command } from 'commander';
import { displayText } from '../../domain/displayText.ts';
import { capital } from '../../domain/format.ts';
import { HalfturnError } from '../../domain/halfturnError.ts';
import { nearestName } from '../../domain/nearestName.ts';
import { explanationOf, findingKinds, findingTitle, type FindingKind } from '../../findings/index.ts';
import { paragraphLines } from '../../report/terminalText.ts';
import { exitStatus } from '../exitStatus.ts';
import type { CommandLine } from '../flags.ts';
import { outputStyle } from '../streams.ts';

export function addCommand(program: Command, { end }: CommandLine): void {
  program
    .command('explain')
    .description('what a finding means, when it is reported, who says so, and what to do about it')
    .addArgument(new Argument('[finding]', 'a kind of finding (default: all kinds in a list)'))
    .addHelpText('after', '\nExample:\n  halfturn explain highlights-clipped')
    .action((finding: string | undefined) => end(runExplain(finding)));
}

function runExplain(name: string | undefined): number {
  const lines = name === undefined ? listed() : explained(kindNamed(name), outputStyle(process.stdout));
  process.stdout.write(`${lines.join('\n')}\n`);
  return exitStatus.finished;
}

function listed(): readonly string[] {
  const width = Math.max(...findingKinds.map((kind) => kind.length));
  const kinds = findingKinds.toSorted().map((kind) => `${kind.padEnd(width)}  ${findingTitle(kind)}`);
  return [...kinds, '', 'halfturn explain <finding> tells more of one of them.'];
}

function explained(kind: FindingKind, style: ReturnType<typeof outputStyle>): readonly string[] {
  const { title, meaning, limit, reads, inTheEdit, nextTime } = explanationOf(kind);
  const block = (head: string, text: string | undefined) =>
    text === undefined ? [] : ['', head, ...paragraphLines(text, style, 2)];
  return [
    `${kind}: ${title}`,
    ...block('What it means', meaning),
    ...block('When it is reported', sentence(limit.at)),
    ...block('Why this limit', sentence(limit.reason)),
    ...block('Source', sentence(limit.source)),
    ...block('Example', reads),
    ...block('In the edit', inTheEdit),
    ...block('What to do next time', nextTime),
  ];
}

function sentence(text: string): string {
  return `${capital(text)}.`;
}

function kindNamed(name: string): FindingKind {
  const kind = findingKinds.find((each) => each === name.toLowerCase());
  if (kind !== undefined) return kind;
  // A word of a kind may be all that somebody remembers of it.
  const words = [...findingKinds, ...findingKinds.flatMap((each) => each.split('-'))];
  const alike = (part: string) => findingKinds.filter((each) => each.includes(part));
  const given = alike(name.toLowerCase());
  const nearest = given.length > 0 ? given : alike(nearestName(name.toLowerCase(), words) ?? '');
  throw new HalfturnError(
    `"${displayText(name)}" is no kind of finding.`,
    `The nearest: ${nearest.join(', ')}. "halfturn explain" lists them all.`,
  );
}
