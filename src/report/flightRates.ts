import type { AuditDocument } from '../domain/report.ts';
import type { ReportedRecording } from '../domain/reportedRecording.ts';
import { fileName, firstFew } from './arrangement.ts';
import { formatRate } from './format.ts';

const namesOfRate = 3;
const mostRates = 5;

/** Which clips cannot be cut evenly with the rest of the flight, by their rates; undefined where all can. */
export function mixedRates({ recordings }: Pick<AuditDocument, 'recordings'>): string | undefined {
  const odd = pathsByRate(recordings.filter(isOdd));
  if (odd.length === 0) return undefined;
  const rest = pathsByRate(recordings.filter((recording) => !isOdd(recording))).map(([rate]) => rate);
  const named = odd
    .slice(0, mostRates)
    .map(([rate, paths]) => `${rate} fps in ${firstFew(paths.map(fileName), namesOfRate)}`);
  const more = odd.slice(mostRates).flatMap(([, paths]) => paths).length;
  return (
    `${[...named, ...(more === 0 ? [] : [`other rates in ${more} more`])].join('; ')}. ` +
    `Cut with the rest (${firstFew(rest, mostRates)} fps) these stutter: ` +
    'use them for short shots, or let the editing program interpolate frames'
  );
}

function isOdd({ findings }: ReportedRecording): boolean {
  return findings.some(({ kind }) => kind === 'frame-rate-mix');
}

/** Paths of clips by the rate that they play at, the most frequent rate first. */
function pathsByRate(recordings: readonly ReportedRecording[]): readonly (readonly [string, string[]])[] {
  const byRate = new Map<string, string[]>();
  for (const { path, kind, facts } of recordings) {
    const rate = facts.playbackFramesPerSecond ?? facts.framesPerSecond;
    if (kind !== 'clip' || rate === undefined) continue;
    const shown = formatRate(rate.value);
    byRate.set(shown, [...(byRate.get(shown) ?? []), path]);
  }
  return [...byRate].toSorted(([, a], [, b]) => b.length - a.length);
}
