import type { LoggedFlight } from '../document/loggedFlight.ts';
import type { Connection } from './connection.ts';
import { restoreFlights } from './enterFlights.ts';

interface LastChange {
  readonly what: string;
  readonly added: string;
  readonly removed: string;
}

/** @returns what was taken back, as the rest of a sentence; undefined where nothing is change */
export function undoLastChange(database: Connection): string | undefined {
  const change = database.prepare('SELECT what, added, removed FROM lastChange').get() as
    LastChange | undefined;
  if (change === undefined) return undefined;
  const removed = JSON.parse(change.removed) as (LoggedFlight & { readonly id: number })[];
  const remove = database.prepare('DELETE FROM flights WHERE id = ?');
  for (const id of [...(JSON.parse(change.added) as number[]), ...removed.map((flight) => flight.id)])
    remove.run(id);
  restoreFlights(database, removed);
  database.exec('DELETE FROM lastChange');
  return change.what;
}
