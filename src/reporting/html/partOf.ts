import type { ReportedSequence } from '../../domain/report.ts';
import { formatStops } from '../format.ts';

/** What a still is a part of, in a few words; undefined where it stands alone. */
export function partOf(path: string, sequences: readonly ReportedSequence[]): string | undefined {
  const sequence = sequences.find(({ paths }) => paths.includes(path));
  if (sequence === undefined) return undefined;
  if (sequence.kind === 'interval') return 'interval series';
  const step = sequence.stepsStops?.[sequence.paths.indexOf(path)];
  return step === undefined ? 'bracket' : `bracket, ${formatStops(step)}`;
}
