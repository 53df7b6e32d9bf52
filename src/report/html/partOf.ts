import type { ReportedSequence } from '../../document/auditDocument.ts';
import type { Weighed } from '../arrangement.ts';
import { formatStops } from '../../domain/format.ts';
import type { RecordingInShort } from '../inShort.ts';

/** The bracket or series that a still is a part of. */
export interface Part {
  /** Its place in the document, from 0. */
  readonly index: number;
  /** In a few words: 'bracket, +2.0'. */
  readonly text: string;
  /** Of the first still of a series, which stands for it: what was found in the whole. */
  readonly findings: readonly Weighed[];
}

/** Undefined where a still stands alone. */
export function partOf(path: string, sequences: readonly ReportedSequence[]): Part | undefined {
  const index = sequences.findIndex(({ paths }) => paths.includes(path));
  const sequence = sequences[index];
  if (sequence === undefined) return undefined;
  if (sequence.kind === 'interval') {
    const findings = path === sequence.paths[0] ? sequence.findings : [];
    return { index, text: `interval series of ${sequence.paths.length}`, findings };
  }
  const step = sequence.stepsStops?.[sequence.paths.indexOf(path)];
  return {
    index,
    text: step === undefined ? 'bracket' : `bracket, ${formatStops(step)}`,
    findings: [],
  };
}

/** Whether the first still of an interval series can stand for this one: a thousand of them look alike. */
export function repeatsItsSeries(
  { path, findings }: Pick<RecordingInShort, 'path' | 'findings'>,
  sequences: readonly ReportedSequence[],
): boolean {
  const isLater = ({ kind, paths }: ReportedSequence) => kind === 'interval' && paths.indexOf(path) > 0;
  return findings.length === 0 && sequences.some(isLater);
}
