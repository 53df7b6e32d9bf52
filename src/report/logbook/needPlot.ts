import { skies, type Sky } from '../../domain/daylight.ts';
import { displayText } from '../../domain/displayText.ts';
import type { LearnedReport } from '../../domain/learned.ts';

/*
 * The picture of the logbook: stops needed against the height of the sun, a dot a flight, its sky by its sign, and the
 * filters of the kit as the rows in which they land.
 */

/** By shape rather than colour: the same on paper, in a terminal and to any eye. */
const skySigns: Readonly<Record<Sky | 'not noted', string>> = {
  clear: 'o',
  haze: '+',
  cloud: 'x',
  overcast: '#',
  'not noted': '?',
};

export interface NeedDot {
  readonly sunDegrees: number;
  readonly neededStops: number;
  readonly sky: Sky | 'not noted';
  readonly title: string;
}

export function needDots({ flights }: LearnedReport): readonly NeedDot[] {
  return flights.flatMap(
    ({ sunElevationDegrees, neededStops, sky, startedAt, place, contradictedStops }): readonly NeedDot[] =>
      sunElevationDegrees === undefined || neededStops === undefined || contradictedStops !== undefined
        ? []
        : [
            {
              sunDegrees: sunElevationDegrees,
              neededStops,
              sky: sky ?? 'not noted',
              title: [startedAt?.slice(0, 10), place].filter((part) => part !== undefined).join(', '),
            },
          ],
  );
}

export interface NeedSpan {
  readonly sunDegrees: readonly [least: number, most: number];
  readonly stops: readonly [least: number, most: number];
}

/** What the picture must reach: all dots, and the filters up to one beyond them. */
export function needSpan(dots: readonly NeedDot[], { kit, today }: LearnedReport): NeedSpan {
  const needed = [...dots.map(({ neededStops }) => neededStops), ...(today?.neededStops ?? [])];
  const [least, most] = [Math.min(0, ...needed), Math.max(4, ...needed)];
  const beyond = kit.map(({ stops }) => stops).filter((stops) => stops > most);
  const sun = [...dots.map(({ sunDegrees }) => sunDegrees), ...(today ? [today.sunElevationDegrees] : [])];
  return {
    sunDegrees: [Math.min(0, ...sun.map(Math.floor)), Math.max(30, ...sun.map(Math.ceil))],
    stops: [Math.floor(least - 0.5), Math.ceil(Math.min(most + 1.5, ...beyond.map((stops) => stops + 0.5)))],
  };
}

function at(place: string | undefined): string {
  return place === undefined ? '' : ` at ${displayText(place)}`;
}

const plotColumns = 56;

/** The picture in signs, a row a stop; the kit's filters name their rows, and a bar stands where today's nine of ten lie. */
export function needLines(report: LearnedReport): readonly string[] {
  const dots = needDots(report);
  const { today } = report;
  if (dots.length === 0) return [];
  const { sunDegrees, stops } = needSpan(dots, report);
  const labels = new Map([
    [0, 'none'],
    ...report.kit.map(({ label, stops: own }) => [Math.round(own), label] as const),
  ]);
  const width = Math.max(...[...labels.values()].map((label) => label.length), 5);
  const column = (degrees: number) =>
    Math.round(((degrees - sunDegrees[0]) / (sunDegrees[1] - sunDegrees[0])) * (plotColumns - 1));
  const lowest = Math.min(0, ...dots.map(({ neededStops }) => Math.round(neededStops)));
  const rows: string[] = [];
  for (let row = stops[1]; row >= lowest; row--) {
    const cells = Array.from({ length: plotColumns }, (): string => (labels.has(row) ? '·' : ' '));
    if (today && row >= Math.round(today.neededStops[0]) && row <= Math.round(today.neededStops[2]))
      cells[column(today.sunElevationDegrees)] = '|';
    for (const dot of dots)
      if (Math.round(dot.neededStops) === row) cells[column(dot.sunDegrees)] = skySigns[dot.sky];
    rows.push(
      `   ${(labels.get(row) ?? '').padStart(width)} ${String(row).padStart(3)} ${cells.join('').trimEnd()}`,
    );
  }
  const left = ' '.repeat(3 + width + 5);
  const ends = `${sunDegrees[0]}°`.padEnd(plotColumns - 4) + `${sunDegrees[1]}°`;
  const used = new Set(dots.map(({ sky }) => sky));
  const signs = [...skies, 'not noted' as const].filter((sky) => used.has(sky));
  return [
    ...rows,
    `${left}${ends.replaceAll('-', '\u2212')}`,
    `   a sign a flight: ${signs.map((sky) => `${skySigns[sky]} ${sky}`).join(', ')}`,
    ...(today === undefined ? [] : [`   | today${at(today.place)}: nine of ten lie here`]),
  ];
}
