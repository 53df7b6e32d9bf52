import type { AuditDocument } from '../document/auditDocument.ts';
import type { ReportedFinding, ReportedRecording } from '../document/reportedRecording.ts';
import { displayable } from '../domain/displayText.ts';
import { counted } from '../domain/format.ts';
import type { FindingKind } from '../findings/index.ts';

/** A few quiet stills get their own lines; more are counted in one. */
const quietStillsListed = 3;

/** Of a finding as much as says how it weighs. */
export type Weighed = Pick<ReportedFinding, 'kind' | 'weight'>;

interface Judged {
  readonly findings: readonly Weighed[];
}

/** High and medium findings flag a recording or a series; low ones are remarks. */
export function weighsEnough({ weight }: Pick<Weighed, 'weight'>): boolean {
  return weight !== 'low';
}

export function isFlagged({ findings }: Judged): boolean {
  return findings.some(weighsEnough);
}

/** What `flightLines()` says once of the whole flight is not said again of each recording. */
const ofFlight: ReadonlySet<FindingKind> = new Set(['frame-rate-mix']);

export function ownFindings<F extends Weighed>(findings: readonly F[]): readonly F[] {
  return findings.filter(({ kind }) => !ofFlight.has(kind));
}

/** One high finding outweighs nine medium ones. */
const seriousness = { high: 100, medium: 10, low: 1 };

/** How serious all findings of a recording are together, >= 0. */
export function seriousnessOf({ findings }: Judged): number {
  return findings.reduce((sum, { weight }) => sum + seriousness[weight], 0);
}

/** The most serious first; equals stay in their order. */
export function mostSeriousFirst(recordings: readonly ReportedRecording[]): readonly ReportedRecording[] {
  return recordings.toSorted((a, b) => seriousnessOf(b) - seriousnessOf(a));
}

/** Recordings that get a line of their own, and how many quiet stills one line stands for. */
export function rowsAndQuietStills(recordings: readonly ReportedRecording[]) {
  const isQuiet = ({ kind, findings }: ReportedRecording) => kind === 'still' && findings.length === 0;
  const quietStills = recordings.filter(isQuiet).length;
  if (quietStills <= quietStillsListed) return { rows: recordings, quietStills: 0 };
  return { rows: recordings.filter((recording) => !isQuiet(recording)), quietStills };
}

export function fileName(path: string): string {
  return path.split('/').at(-1) ?? path;
}

/**
 * The first few of many, and how many more there are.
 * @example firstFew(['A', 'B', 'C'], 2) // 'A, B and 1 other'
 */
export function firstFew(names: readonly string[], most = 6): string {
  const more = names.length > most ? ` and ${counted(names.length - most, 'other')}` : '';
  return `${names.slice(0, most).join(', ')}${more}`;
}

/** Fewer are named one by one. */
const fewestInSpan = 3;

/**
 * Paths of a list, those that follow each other in it as a span, for as long as they are of one kind of file.
 * @example spansOf(['A.JPG', 'B.JPG', 'C.JPG', 'E.JPG'], ['A.JPG', 'B.JPG', 'C.JPG', 'D.JPG', 'E.JPG']) // ['A.JPG to C.JPG', 'E.JPG']
 */
export function spansOf(paths: readonly string[], all: readonly string[]): readonly string[] {
  const places = new Map(all.map((path, at) => [path, at]));
  const spans: string[][] = [];
  for (const path of paths) {
    const last = spans.at(-1)?.at(-1);
    const follows = last !== undefined && places.get(path) === places.get(last)! + 1;
    if (follows && extensionOf(path) === extensionOf(last)) spans.at(-1)!.push(path);
    else spans.push([path]);
  }
  return spans.flatMap((span) => (span.length < fewestInSpan ? span : `${span[0]} to ${span.at(-1)}`));
}

function extensionOf(path: string): string {
  return /\.[^./]*$/.exec(path)?.[0].toUpperCase() ?? '';
}

/** An audit as it is told to people: texts are safe to print, paths lack the folder that all of them share. */
export interface DisplayedAudit extends AuditDocument {
  /** The folder that all paths share, with a slash at its end, or nothing. */
  readonly folder: string;
}

export function displayedAudit(document: AuditDocument): DisplayedAudit {
  const shown = displayable(document);
  const { recordings, sequences, problems } = shown;
  const ofDump = problems.filter(({ about }) => about === undefined);
  const paths = [recordings, ofDump].flat().map(({ path }) => path);
  const folder = sharedFolder([...paths, ...sequences.flatMap((sequence) => sequence.paths)]);
  const shorter = (path: string): string => path.slice(folder.length);
  return {
    ...shown,
    folder,
    recordings: recordings.map((recording) => ({ ...recording, path: shorter(recording.path) })),
    sequences: sequences.map((sequence) => ({ ...sequence, paths: sequence.paths.map(shorter) })),
    problems: problems.map((problem) =>
      problem.about === undefined ? { ...problem, path: shorter(problem.path) } : problem,
    ),
  };
}

/** The folder that all paths share, with a slash at its end; nothing where they share none. */
export function sharedFolder(paths: readonly string[]): string {
  const folders = paths.map((path) => path.split('/').slice(0, -1));
  const first = folders[0] ?? [];
  const differs = first.findIndex((name, at) => folders.some((folder) => folder[at] !== name));
  const shared = differs === -1 ? first : first.slice(0, differs);
  return shared.length === 0 ? '' : `${shared.join('/')}/`;
}
