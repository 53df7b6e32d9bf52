import { densityFromStops, factorFromStops } from '../domain/filter.ts';
import type { KitFilter } from '../domain/kit.ts';
import { textTable } from './table.ts';

/** A kit with each filter's strength in the three notations in which filters are sold, the weakest first. */
export function kitTable(kit: readonly KitFilter[]): string {
  const rows = kit.toSorted((a, b) => a.stops - b.stops).map(cells);
  return textTable([['filter', 'stops', 'factor', 'density', ''], ...rows]);
}

function cells(filter: KitFilter): readonly string[] {
  const { label, stops, rangeStops, graduated, polariser, spreadStops } = filter;
  const notes = [
    rangeStops && 'variable',
    polariser && !rangeStops && 'with polariser',
    graduated && 'graduated, not counted',
    spreadStops !== undefined && 'loss assumed: measure it',
  ].filter((note) => typeof note === 'string');
  if (graduated === true && stops === 0) return [label, '', '', '', notes.join(', ')];
  const both = (notation: (strength: number) => string) =>
    rangeStops === undefined ? notation(stops) : rangeStops.map(notation).join(' to ');
  return [
    label,
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
