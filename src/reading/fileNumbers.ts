import { posix } from 'node:path';
import { groupedBy } from '../domain/grouping.ts';
import type { Recording } from '../domain/recording.ts';

// Cameras count their files: in four digits up to 9999, and begin again at 1 (CIPA DC-009); in five they go on. Where
// the numbers of a card run on, no file is missing, whatever the times say; a number that no file has was deleted, moved,
// or never stored. Names that end in more digits hold a time.

/** The number at the end of a file's name, and what comes before it. */
const numbered = /^(.*?)(\d{2,5})$/;
const highestOfFourDigits = 9999;
/** More in a row were numbered otherwise. */
const mostSkipped = 99;

export interface FileNumbers {
  /** How many numbers between two files no file has; undefined where their names do not count on. */
  readonly skippedBetween: (from: string, to: string) => number | undefined;
  /** The same before, inside and after a group of files, up to the neighbour that the card has. */
  readonly skippedNear: (
    paths: readonly string[],
  ) => { readonly before: number; readonly inside: number; readonly after: number } | undefined;
}

interface FileNumber {
  readonly series: string;
  readonly number: number;
  /** After it the series begins again at 1. */
  readonly highest: number;
}

function fileNumber(path: string): FileNumber | undefined {
  const [, prefix = '', digits] = numbered.exec(posix.parse(path).name) ?? [];
  // The folder is no part of it: numbers run on from 100 to 101.
  if (digits === undefined || /\d$/.test(prefix)) return undefined;
  const highest = digits.length === 4 ? highestOfFourDigits : Infinity;
  return { series: `${prefix.toUpperCase()} ${digits.length}`, number: Number(digits), highest };
}

/** What the numbers of all files of a card say. */
export function fileNumbersOf(recordings: readonly Recording[]): FileNumbers {
  const all = recordings.flatMap(({ path }) => fileNumber(path) ?? []);
  const taken = new Map(
    [...groupedBy(all, ({ series }) => series)].map(
      ([series, files]) => [series, new Set(files.map(({ number }) => number))] as const,
    ),
  );
  const skippedBetween = (from: string, to: string): number | undefined => {
    const [a, b] = [fileNumber(from), fileNumber(to)];
    if (a === undefined || b === undefined || a.series !== b.series) return undefined;
    const { number: start, highest } = a;
    const between = b.number > start ? b.number - start : b.number - start + highest;
    if (between > mostSkipped) return undefined;
    const numbers = Array.from({ length: between - 1 }, (_, at) => ((start + at) % highest) + 1);
    return numbers.filter((number) => !taken.get(a.series)!.has(number)).length;
  };
  const skippedNextTo = ({ series, number }: FileNumber, step: 1 | -1): number => {
    const numbers = taken.get(series)!;
    const skipped = Array.from({ length: mostSkipped }, (_, at) => number + step * (at + 1)).findIndex(
      (each) => numbers.has(each),
    );
    return Math.max(0, skipped);
  };
  const skippedNear: FileNumbers['skippedNear'] = (paths) => {
    const files = paths.map(fileNumber).filter((file) => file !== undefined);
    const [first] = files;
    if (first === undefined || files.length < paths.length) return undefined;
    const sorted = files.toSorted((a, b) => a.number - b.number);
    const [lowest, top] = [sorted[0]!, sorted.at(-1)!];
    if (files.some(({ series }) => series !== first.series) || top.number - lowest.number > mostSkipped)
      return undefined;
    const inside = Array.from({ length: top.number - lowest.number }, (_, at) => lowest.number + at);
    return {
      before: skippedNextTo(lowest, -1),
      inside: inside.filter((number) => !taken.get(first.series)!.has(number)).length,
      after: skippedNextTo(top, 1),
    };
  };
  return { skippedBetween, skippedNear };
}
