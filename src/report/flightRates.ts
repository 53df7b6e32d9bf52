import { fileName, firstFew } from './arrangement.ts';
import { formatRate } from '../domain/format.ts';
import type { AuditInShort, RecordingInShort } from './inShort.ts';

const namesOfRate = 3;
const mostRates = 5;

/** Which clips cannot be cut evenly with the rest of the flight, by their rates; undefined where all can. */
export function mixedRates({ recordings }: AuditInShort): string | undefined {
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

function isOdd({ findings }: RecordingInShort): boolean {
  return findings.some(({ kind }) => kind === 'frame-rate-mix');
}

/** Paths of clips by the rate that they play at, the most frequent rate first. */
function pathsByRate(recordings: readonly RecordingInShort[]): readonly (readonly [string, string[]])[] {
  const byRate = new Map<string, string[]>();
  for (const { path, framesPerSecond } of recordings) {
    if (framesPerSecond === undefined) continue;
    const shown = formatRate(framesPerSecond);
    byRate.set(shown, [...(byRate.get(shown) ?? []), path]);
  }
  return [...byRate].toSorted(([, a], [, b]) => b.length - a.length);
}
