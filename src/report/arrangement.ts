import type { FindingKind } from '../findings/index.ts';
import type { ReportedFinding } from '../document/reportedFinding.ts';
import { counted } from '../domain/format.ts';
import type { RecordingInShort } from './inShort.ts';

/** A few quiet stills get their own lines; more are counted in one. */
const quietStillsListed = 3;

/** Of a finding as much as says how it weighs. */
export type Weighed = Pick<ReportedFinding, 'kind' | 'weight'>;

interface Found {
  readonly findings: readonly Weighed[];
}

/** High and medium findings flag a recording or a series; low ones are remarks. */
export function weighsEnough({ weight }: Pick<Weighed, 'weight'>): boolean {
  return weight !== 'low';
}

export function isFlagged({ findings }: Found): boolean {
  return findings.some(weighsEnough);
}

/** What `flightLines()` says once of the whole flight is not said again of each recording. */
const saidOfFlight: ReadonlySet<FindingKind> = new Set(['frame-rate-mix']);

/** Findings to be said of one recording by itself. */
export function ownFindings<F extends Weighed>(findings: readonly F[]): readonly F[] {
  return findings.filter(({ kind }) => !saidOfFlight.has(kind));
}

/** One high finding outweighs nine medium ones. */
const seriousness = { high: 100, medium: 10, low: 1 };

/** How serious all findings of a recording are together, >= 0. */
export function seriousnessOf({ findings }: Found): number {
  return findings.reduce((sum, { weight }) => sum + seriousness[weight], 0);
}

/** The most serious first; equals stay in their order. */
export function mostSeriousFirst(recordings: readonly RecordingInShort[]): readonly RecordingInShort[] {
  return recordings.toSorted((a, b) => seriousnessOf(b) - seriousnessOf(a));
}

/** Recordings that get a line of their own, and how many quiet stills one line stands for. */
export function rowsAndQuietStills(recordings: readonly RecordingInShort[]): {
  readonly rows: readonly RecordingInShort[];
  readonly quietStills: number;
} {
  const isQuiet = ({ kind, findings }: RecordingInShort) => kind === 'still' && findings.length === 0;
  const quietStills = recordings.filter(isQuiet).length;
  if (quietStills <= quietStillsListed) return { rows: recordings, quietStills: 0 };
  return { rows: recordings.filter((recording) => !isQuiet(recording)), quietStills };
}

/** Low findings of single recordings gathered by kind, each with the recordings that have it. */
export function remarksByKind(recordings: readonly RecordingInShort[]) {
  const pathsByKind = new Map<FindingKind, Set<string>>();
  for (const { path, findings } of recordings) {
    for (const { kind } of ownFindings(findings).filter((finding) => !weighsEnough(finding))) {
      pathsByKind.set(kind, (pathsByKind.get(kind) ?? new Set()).add(path));
    }
  }
  return [...pathsByKind].map(([kind, paths]) => ({ kind, paths: [...paths] }));
}

/** Recordings in which a recorded value was refused, as nobody could have meant it. */
export function withRefusals(recordings: readonly RecordingInShort[]): readonly string[] {
  return recordings.filter(({ hasRefusals }) => hasRefusals).map(({ path }) => path);
}

/** A path without its folders. */
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
