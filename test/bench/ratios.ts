import { appendFileSync, readFileSync } from 'node:fs';

/** What a bench measured beside what it should be. Ratios are of two things done in the same run. */
export interface Ratio {
  readonly what: string;
  /** Left out where it could not be measured here; then `note` says why. */
  readonly measured?: number;
  /** Both for a window. Left out where nothing is promised. */
  readonly atLeast?: number;
  readonly atMost?: number;
  readonly unit?: '%' | 'points' | 'stops' | 'MB' | 's' | 'times';
  /** Digits after the point, 2 where left out. */
  readonly digits?: number;
  /** What the reader must know of it, such as how many items stood behind it. */
  readonly note?: string;
}

/** Names the file that takes the ratios when `npm run bench` runs a bench; alone, a bench only prints. */
export const ratiosFileVariable = 'HALFTURN_BENCH_RATIOS';

/** Names the folder of media that a bench is to work with; named by `npm run bench -- --folder`. */
export const folderVariable = 'HALFTURN_BENCH_FOLDER';

/** How many items stand behind the numbers; named by `npm run bench`. */
export type BenchSize = 'quick' | 'usual' | 'all';
export const benchSizeVariable = 'HALFTURN_BENCH_SIZE';
const named = process.env[benchSizeVariable];
const benchSize: BenchSize = named === 'quick' || named === 'all' ? named : 'usual';

/** What a bench works with at the size asked for. Fewer items make every number rougher. */
export function atSize<T>({ quick, usual, all = usual }: { quick: T; usual: T; all?: T }): T {
  return { quick, usual, all }[benchSize];
}

/** Prints a ratio with its goal, and hands it over to `npm run bench`. One of no items at all was not measured. */
export function reportRatio({ measured, ...rest }: Ratio): void {
  const ratio = Number.isNaN(measured) ? rest : { ...rest, measured };
  console.log(`${ratio.what}: ${measuredText(ratio)} (${goalText(ratio)}) ${verdict(ratio)}`.trimEnd());
  const file = process.env[ratiosFileVariable];
  if (file !== undefined) appendFileSync(file, `${JSON.stringify(ratio)}\n`);
}

export function readRatios(file: string): readonly Ratio[] {
  const lines = readFileSync(file, 'utf8').split('\n');
  return lines.filter((line) => line !== '').map((line) => JSON.parse(line) as Ratio);
}

export function measuredText({ measured, unit, digits = 2 }: Ratio): string {
  return measured === undefined ? 'not measured' : withUnit(measured.toFixed(digits), unit);
}

export function goalText({ atLeast, atMost, unit }: Ratio): string {
  if (atLeast !== undefined && atMost !== undefined) return withUnit(`${atLeast} to ${atMost}`, unit);
  if (atLeast !== undefined) return withUnit(`at least ${atLeast}`, unit);
  return atMost === undefined ? 'no goal' : withUnit(`at most ${atMost}`, unit);
}

/** Whether the number as it is printed keeps to its goal; nothing where there is no goal. */
export function verdict({ measured, atLeast = -Infinity, atMost = Infinity, digits = 2 }: Ratio): string {
  if (measured === undefined || (atLeast === -Infinity && atMost === Infinity)) return '';
  const shown = Number(measured.toFixed(digits));
  return shown >= atLeast && shown <= atMost ? 'reached' : 'MISSED';
}

function withUnit(text: string, unit: Ratio['unit']): string {
  if (unit === undefined) return text;
  return unit === '%' ? `${text}%` : `${text} ${unit}`;
}
