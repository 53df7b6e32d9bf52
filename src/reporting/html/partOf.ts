import type { ReportedSequence } from '../../domain/report.ts';
import { formatStops } from '../format.ts';
import type { RecordingInShort } from '../inShort.ts';

/** What a still is a part of, in a few words; undefined where it stands alone. */
export function partOf(path: string, sequences: readonly ReportedSequence[]): string | undefined {
  const sequence = sequences.find(({ paths }) => paths.includes(path));
  if (sequence === undefined) return undefined;
  if (sequence.kind === 'interval') return `interval series of ${sequence.paths.length}`;
  const step = sequence.stepsStops?.[sequence.paths.indexOf(path)];
  return step === undefined ? 'bracket' : `bracket, ${formatStops(step)}`;
}

/** Whether the first still of an interval series can stand for this one: a thousand of them look alike. */
export function repeatsItsSeries(
  { path, findings }: Pick<RecordingInShort, 'path' | 'findings'>,
  sequences: readonly ReportedSequence[],
): boolean {
  const isLater = ({ kind, paths }: ReportedSequence) => kind === 'interval' && paths.indexOf(path) > 0;
  return findings.length === 0 && sequences.some(isLater);
}
