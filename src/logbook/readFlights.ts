import type { FlightSummary, LoggedFlight } from '../document/loggedFlight.ts';
import type { Database } from './database.ts';
import { fieldColumns, recordingOf, withoutNulls, type Row } from './columns.ts';

/** All flights, the oldest first; those without a time stand where they were entered. */
export function readSummaries(database: Database): readonly FlightSummary[] {
  const rows = database
    .prepare(
      `SELECT flights.id, enteredAt, dump, startedAt, endedAt, place, sky,
         count(*) FILTER (WHERE kind = 'clip') AS clips, count(*) FILTER (WHERE kind = 'still') AS stills,
         json_group_array(DISTINCT label) FILTER (WHERE label IS NOT NULL) AS filters
       FROM flights LEFT JOIN recordings ON recordings.flightId = flights.id
       LEFT JOIN filters ON filters.id = recordings.filterId
       GROUP BY flights.id ORDER BY coalesce(startedAt, enteredAt), flights.id`,
    )
    .all() as Row[];
  return rows.map((row) => {
    const { filters, ...rest } = row;
    return { ...withoutNulls(rest), filters: JSON.parse(String(filters)) as string[] };
  }) as unknown as FlightSummary[];
}

export function readFlight(database: Database, id: number): LoggedFlight | undefined {
  const flight = database
    .prepare(
      `SELECT enteredAt, dump, startedAt, endedAt, place, latitude, longitude, sky, notes.text AS notes
       FROM flights LEFT JOIN notes ON notes.flightId = flights.id WHERE flights.id = ?`,
    )
    .get(id) as Row | undefined;
  if (flight === undefined) return undefined;
  const columns = fieldColumns.map((column) => `recordings.${column}`);
  const rows = database
    .prepare(
      `SELECT ${columns.join(', ')}, label, labelStops, details.content
       FROM recordings LEFT JOIN filters ON filters.id = recordings.filterId
       LEFT JOIN details ON details.recordingId = recordings.id
       WHERE flightId = ? ORDER BY recordings.id`,
    )
    .all(id) as Row[];
  return { ...withoutNulls(flight), recordings: rows.map(recordingOf) } as unknown as LoggedFlight;
}
