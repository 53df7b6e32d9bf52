import type { FindingKind } from '../domain/finding.ts';
import type { AuditDocument } from '../domain/report.ts';
import type { ReportedRecording } from '../domain/reportedRecording.ts';
import { fileName, firstFew, weighsEnough } from './arrangement.ts';
import { findingTitles } from './findingTitles.ts';
import { capital, counted } from './format.ts';

/** One of the things that matter most on this card, as a sentence, with the recordings that it is about. */
export interface Matter {
  readonly text: string;
  readonly recordings: readonly ReportedRecording[];
}

const mattersSaid = 3;
const recordingsNamed = 4;
const weights = { high: 8, medium: 1, low: 0 };

interface Group {
  readonly kind: FindingKind;
  readonly recordings: ReportedRecording[];
  score: number;
}

/**
 * The three kinds of findings that cost the flight most, each with how many recordings have it: one finding of high
 * weight counts as much as eight of medium weight. Files that nothing could be read from come first.
 */
export function topMatters(document: AuditDocument): readonly Matter[] {
  const read = new Set(document.recordings.map(({ path }) => path));
  const unread = document.problems.filter(({ path }) => !read.has(path));
  const groups = [...groupsOf(document.recordings).values()]
    .toSorted((a, b) => b.score - a.score)
    .map((group): Matter => ({ text: groupText(group), recordings: group.recordings }));
  const lost: readonly Matter[] =
    unread.length === 0
      ? []
      : [
          {
            text: `${counted(unread.length, 'file')} could not be read: ${named(unread)}.`,
            recordings: [],
          },
        ];
  return [...lost, ...groups].slice(0, mattersSaid);
}

function groupsOf(recordings: readonly ReportedRecording[]): ReadonlyMap<FindingKind, Group> {
  const groups = new Map<FindingKind, Group>();
  for (const recording of recordings)
    for (const { kind, weight } of recording.findings.filter(weighsEnough)) {
      const group = groups.get(kind) ?? { kind, recordings: [], score: 0 };
      if (!group.recordings.includes(recording)) group.recordings.push(recording);
      group.score += weights[weight];
      groups.set(kind, group);
    }
  return groups;
}

function groupText({ kind, recordings }: Group): string {
  const title = findingTitles[kind].title;
  return `${capital(title)} in ${counted(recordings.length, 'recording')}: ${named(recordings)}.`;
}

function named(files: readonly { readonly path: string }[]): string {
  return firstFew(
    files.map(({ path }) => fileName(path)),
    recordingsNamed,
  );
}
