import type { LoggedFilter } from '../document/loggedFlight.ts';

/**
 * Names a filter: a label that was given another strength later is another filter.
 *
 * @example filterKey({ label: 'ND16', labelStops: 4 }) // 'nd16 4.000'
 */
export function filterKey({ label, labelStops }: LoggedFilter): string {
  return `${label.toLowerCase()} ${labelStops.toFixed(3)}`;
}
