import type { ShutterClass } from '../../src/domain/shutter.ts';
import { quantile } from '../../src/domain/statistics.ts';
import type { estimateShutter } from '../../src/measuring/shutter/estimateShutter.ts';

/** One estimate beside the truth. */
export interface Scored {
  readonly id: string;
  readonly labels: Readonly<Record<string, string | number>>;
  readonly pixelsPerFrame: number;
  /** Absent where no angle is true (repeated or mixed frames): then any answer is wrong. */
  readonly truthDegrees?: number;
  readonly estimate: ReturnType<typeof estimateShutter>;
  readonly cpuSeconds: number;
}

export function trueClass(angleDegrees: number): ShutterClass {
  const stops = Math.log2(angleDegrees / 180);
  return stops < -1 / 3 ? 'short' : stops > 1 / 3 ? 'long' : 'on';
}

export function errorStops({ truthDegrees, estimate }: Scored): number | undefined {
  if (truthDegrees === undefined || estimate.angleDegrees === undefined) return undefined;
  return Math.log2(estimate.angleDegrees / truthDegrees);
}

export function holdsTruth({ truthDegrees, estimate }: Scored): boolean | undefined {
  if (truthDegrees === undefined || estimate.interval === undefined) return undefined;
  return (estimate.interval.lowDegrees ?? 0) <= truthDegrees && truthDegrees <= estimate.interval.highDegrees;
}

/** A class that is not the true one, or any answer where there is none. */
export function isWrong({ truthDegrees, estimate }: Scored): boolean {
  if (truthDegrees === undefined) return estimate.verdict !== 'cannot-tell';
  return estimate.class !== undefined && estimate.class !== trueClass(truthDegrees);
}

const heading = [
  'clips',
  'number',
  'median',
  'p95',
  'max',
  'in 1/3',
  'class',
  'right',
  'interval holds',
  'nothing said',
  'cpu s',
] as const;

export function tableHead(title: string): string {
  return `\n${title.padEnd(24)}${heading.map((name) => name.padStart(Math.max(8, name.length + 2))).join('')}`;
}

/** One line of a table: how many numbers and classes, and how far off. Errors in stops. */
export function tableRow(name: string, rows: readonly Scored[]): string {
  const errors = rows
    .map(errorStops)
    .filter((error) => error !== undefined)
    .map(Math.abs);
  const told = rows.filter(({ estimate }) => estimate.class !== undefined);
  const intervals = rows.filter(({ estimate }) => estimate.verdict === 'measured').map(holdsTruth);
  const stops = (probability: number) => quantile(errors, probability)?.toFixed(3) ?? '-';
  const cells = [
    rows.length,
    errors.length,
    stops(0.5),
    stops(0.95),
    stops(1),
    `${errors.filter((error) => error <= 1 / 3).length}/${errors.length}`,
    told.length,
    told.filter((row) => !isWrong(row)).length,
    `${intervals.filter(Boolean).length}/${intervals.length}`,
    rows.filter(({ estimate }) => estimate.verdict === 'cannot-tell').length,
    (rows.reduce((sum, row) => sum + row.cpuSeconds, 0) / Math.max(1, rows.length)).toFixed(2),
  ];
  return (
    name.padEnd(24) +
    cells.map((cell, i) => String(cell).padStart(Math.max(8, heading[i]!.length + 2))).join('')
  );
}

export function printTable(title: string, rows: readonly Scored[], label: string): void {
  console.log(tableHead(title));
  const names = [...new Set(rows.map(({ labels }) => labels[label]!))];
  names.sort((a, b) =>
    typeof a === 'number' && typeof b === 'number' ? a - b : String(a).localeCompare(String(b)),
  );
  for (const name of names)
    console.log(
      tableRow(
        String(name),
        rows.filter(({ labels }) => labels[label] === name),
      ),
    );
}

/**
 * Mean absolute error of the exposure fraction over angles of 5 to 130 degrees; 0.039 is published for synthetic data
 * in arXiv 2303.10247. Every clip with a fit counts, also those whose angle is not said.
 */
export function exposureFractionError(rows: readonly Scored[]): {
  readonly mean: number;
  readonly clips: number;
} {
  const errors = rows.flatMap(({ truthDegrees, estimate }) => {
    const middle = estimate.angleDegrees ?? estimate.evidence.middleDegrees;
    if (truthDegrees === undefined || truthDegrees < 5 || truthDegrees > 130 || middle === undefined)
      return [];
    return [Math.abs(middle - truthDegrees) / 360];
  });
  return { mean: errors.reduce((sum, error) => sum + error, 0) / errors.length, clips: errors.length };
}

export function printFailures(rows: readonly Scored[]): void {
  console.log('\nfailures: wrong class, more than a third of a stop off, or truth outside the interval');
  for (const row of rows) {
    const error = errorStops(row);
    const said = row.estimate;
    const kinds = [
      isWrong(row) ? 'WRONG' : '',
      error !== undefined && Math.abs(error) > 1 / 3 ? 'far off' : '',
      holdsTruth(row) === false ? 'outside' : '',
    ].filter((kind) => kind !== '');
    if (kinds.length === 0) continue;
    const interval =
      said.interval &&
      `${said.interval.lowDegrees?.toFixed(1) ?? 'at most'} to ${said.interval.highDegrees.toFixed(1)}`;
    console.log(
      `${row.id.padEnd(44)} truth ${row.truthDegrees ?? 'none'}: ${said.verdict} ${said.class ?? '-'}`,
      `${said.angleDegrees?.toFixed(1) ?? '-'} (${interval ?? '-'}): ${kinds.join(', ')}`,
    );
  }
}

export function printReasons(rows: readonly Scored[]): void {
  const counts = new Map<string, number>();
  for (const { estimate } of rows) {
    if (estimate.class !== undefined) continue;
    const reason = estimate.reason ?? 'interval spans two classes';
    counts.set(reason, (counts.get(reason) ?? 0) + 1);
  }
  console.log(
    '\nno class given:',
    [...counts].map(([reason, count]) => `${reason} ${count}`).join(', ') || 'never',
  );
}
