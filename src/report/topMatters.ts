import type { ReportedSequence } from '../document/auditDocument.ts';
import { fileName, firstFew, weighsEnough, type Weighed } from './arrangement.ts';
import { findingTitle, type FindingKind } from '../findings/index.ts';
import { capital, counted } from '../domain/format.ts';
import type { AuditInShort } from './inShort.ts';

/** One of the things that matter most on this card, as a sentence. */
export interface Matter {
  readonly text: string;
  /** Where the first that it is about stands in the document; absent of files that could not be read. */
  readonly first?: PlaceInDocument;
}

export interface PlaceInDocument {
  readonly list: 'recordings' | 'sequences';
  /** From 0. */
  readonly index: number;
}

const mattersSaid = 3;
const namesSaid = 4;
const weights = { high: 8, medium: 1, low: 0 };

interface Group {
  readonly kind: FindingKind;
  readonly first: PlaceInDocument;
  /** What it is about, by its place in the list. */
  readonly names: Map<number, string>;
  score: number;
}

/**
 * The three kinds of findings that cost the flight most, each with how many recordings, brackets or series have it: one
 * finding of high weight counts as much as eight of medium weight. Files that nothing could be read from come first.
 */
export function topMatters({ recordings, sequences, problems }: AuditInShort): readonly Matter[] {
  const read = new Set(recordings.map(({ path }) => path));
  const unread = problems
    .filter(({ path, about }) => about === undefined && !read.has(path))
    .map(({ path }) => fileName(path));
  const groups = new Map<FindingKind, Group>();
  for (const { index, path, findings } of recordings)
    addTo(groups, findings, { first: { list: 'recordings', index }, name: fileName(path) });
  for (const [index, sequence] of sequences.entries())
    addTo(groups, sequence.findings, { first: { list: 'sequences', index }, name: endsOf(sequence) });
  const found = [...groups.values()]
    .toSorted((a, b) => b.score - a.score)
    .map((group): Matter => ({ text: groupText(group), first: group.first }));
  const lost: readonly Matter[] =
    unread.length === 0
      ? []
      : [{ text: `${counted(unread.length, 'file')} could not be read: ${firstFew(unread, namesSaid)}.` }];
  return [...lost, ...found].slice(0, mattersSaid);
}

function addTo(
  groups: Map<FindingKind, Group>,
  findings: readonly Weighed[],
  { first, name }: { readonly first: PlaceInDocument; readonly name: string },
): void {
  for (const { kind, weight } of findings.filter(weighsEnough)) {
    const group = groups.get(kind) ?? { kind, first, names: new Map(), score: 0 };
    group.names.set(first.index, name);
    group.score += weights[weight];
    groups.set(kind, group);
  }
}

/** The title of a bracket or series says already what it is about. */
function groupText({ kind, first, names }: Group): string {
  const title = capital(findingTitle(kind));
  const named = firstFew([...names.values()], namesSaid);
  if (first.list === 'recordings') return `${title} in ${counted(names.size, 'recording')}: ${named}.`;
  return names.size === 1 ? `${title}: ${named}.` : `${title}, ${names.size} times: ${named}.`;
}

function endsOf({ paths }: ReportedSequence): string {
  const [first = '', last = ''] = [paths[0], paths.at(-1)].map((path) => path && fileName(path));
  return `${first} to ${last}`;
}
