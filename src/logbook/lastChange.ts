import type { LoggedFlight } from '../document/loggedFlight.ts';
import type { Connection } from './connection.ts';
import { readFlight } from './queries.ts';

/*
 * One step back: what the last change touched is kept as it was before, and put back whole. A change of more
 * recordings than anybody corrects by hand is not kept, for the copy would double the logbook.
 */

const mostRecordings = 5000;

export type Change = ReturnType<typeof changeOf>;

/** Gathers what a change is about to touch; one transaction holds it and the change. */
export function changeOf(database: Connection) {
  const touched = new Map<number, LoggedFlight | undefined>();
  const added = new Set<number>();
  let recordings = 0;
  return {
    /** A flight is about to be changed or taken away. */
    before: (id: number): void => {
      if (added.has(id) || touched.has(id) || recordings > mostRecordings) return;
      const flight = readFlight(database, id);
      recordings += flight?.recordings.length ?? 0;
      touched.set(id, flight);
    },
    added: (id: number): void => void added.add(id),
    keep: (what: string): void => {
      database.exec('DELETE FROM lastChange');
      if (recordings > mostRecordings) return;
      const removed = [...touched].flatMap(([id, flight]) =>
        flight === undefined ? [] : [{ ...flight, id }],
      );
      database
        .prepare('INSERT INTO lastChange (id, what, added, removed) VALUES (1, ?, ?, ?)')
        .run(what, JSON.stringify([...added]), JSON.stringify(removed));
    },
  };
}

type KeptFlight = LoggedFlight & { readonly id: number };

interface LastChange {
  readonly what: string;
  readonly added: string;
  readonly removed: string;
}

/** @returns what was taken back, as the rest of a sentence; undefined where nothing was changed */
export function undoLastChange(
  database: Connection,
  restoreFlights: (database: Connection, flights: readonly KeptFlight[]) => void,
): string | undefined {
  const change = database.prepare('SELECT what, added, removed FROM lastChange').get() as
    LastChange | undefined;
  if (change === undefined) return undefined;
  const removed = JSON.parse(change.removed) as KeptFlight[];
  const remove = database.prepare('DELETE FROM flights WHERE id = ?');
  for (const id of [...(JSON.parse(change.added) as number[]), ...removed.map((flight) => flight.id)])
    remove.run(id);
  restoreFlights(database, removed);
  database.exec('DELETE FROM lastChange');
  return change.what;
}
