import path from 'node:path';
import type { LoggedFilter } from '../document/loggedFlight.ts';
import type { Connection } from './connection.ts';
import { changeOf } from './lastChange.ts';

/** What was really on the lens, and for which files of the flight; for all of them where none is named. */
export interface Correction {
  /** Absent where it is not known after all. */
  readonly fitted?: LoggedFilter;
  readonly isMeant: (name: string) => boolean;
}

interface RecordingRow {
  readonly id: number;
  readonly path: string;
  readonly labelStops: number | null;
}

/**
 * Puts right what was fitted. What would have been needed is the filter that was on and what was left to take away: it
 * moves with the filter. The pick rested on the wrong one and is forgotten.
 */
export function correctFilters(
  database: Connection,
  flightId: number,
  { fitted, isMeant }: Correction,
): number {
  const rows = database
    .prepare(
      `SELECT recordings.id, path, labelStops FROM recordings LEFT JOIN filters ON filters.id = filterId
       WHERE flightId = ?`,
    )
    .all(flightId) as readonly RecordingRow[];
  const meant = rows.filter((row) => isMeant(row.path) || isMeant(path.posix.basename(row.path)));
  if (meant.length === 0) return 0;
  const change = changeOf(database);
  change.before(flightId);
  const filterId = fitted === undefined ? null : idOfFilter(database, fitted);
  const update = database.prepare(
    'UPDATE recordings SET filterId = ?, neededStops = neededStops + ?, pickLabel = NULL WHERE id = ?',
  );
  for (const { id, labelStops } of meant) {
    const moved = fitted === undefined || labelStops === null ? null : fitted.labelStops - labelStops;
    update.run(filterId, moved, id);
  }
  change.keep(`correcting flight ${flightId}`);
  return meant.length;
}

function idOfFilter(database: Connection, { label, labelStops }: LoggedFilter): number {
  database.prepare('INSERT OR IGNORE INTO filters (label, labelStops) VALUES (?, ?)').run(label, labelStops);
  return database
    .prepare('SELECT id FROM filters WHERE label = ? AND labelStops = ?')
    .pluck()
    .get(label, labelStops) as number;
}
