import { displayText } from '../domain/displayText.ts';
import { densityFromStops, factorFromStops } from '../domain/filter.ts';
import type { KitFilter } from '../domain/kit.ts';
import { textWidth } from './textWidth.ts';

const gap = '  ';

/** A kit with each filter's strength in the three notations in which filters are sold, the weakest first. */
export function kitTable(kit: readonly KitFilter[]): string {
  const rows = kit.toSorted((a, b) => a.stops - b.stops).map(cells);
  const table = [['filter', 'stops', 'factor', 'density', ''], ...rows];
  const widths = table[0]!.map((_, column) => Math.max(...table.map((row) => textWidth(row[column] ?? ''))));
  return table.map((row) => `${line(row, widths)}\n`).join('');
}

function cells(filter: KitFilter): readonly string[] {
  const { label, stops, rangeStops, graduated, polariser, spreadStops } = filter;
  const notes = [
    rangeStops && 'variable',
    polariser && !rangeStops && 'with polariser',
    graduated && 'graduated, not counted',
    spreadStops !== undefined && 'loss assumed: measure it',
  ].filter((note) => typeof note === 'string');
  if (graduated === true && stops === 0) return [displayText(label), '', '', '', notes.join(', ')];
  const both = (notation: (strength: number) => string) =>
    rangeStops === undefined ? notation(stops) : rangeStops.map(notation).join(' to ');
  return [
    displayText(label),
    both((strength) => strength.toFixed(2)),
    both((strength) => factorText(factorFromStops(strength))),
    both((strength) => densityFromStops(strength).toFixed(2)),
    notes.join(', '),
  ];
}

/** Labels are whole from 100 on; below, three digits tell ND32 from a density of 1.5. */
function factorText(factor: number): string {
  return String(factor < 100 ? Number(factor.toPrecision(3)) : Math.round(factor));
}

function line(row: readonly string[], widths: readonly number[]): string {
  const padded = row.map((cell, column) => {
    const space = ' '.repeat(widths[column]! - textWidth(cell));
    return column === 0 || column === 4 ? `${cell}${space}` : `${space}${cell}`;
  });
  return padded.join(gap).trimEnd();
}
