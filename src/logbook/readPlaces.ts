import type { Database } from './database.ts';

export interface KnownPlace {
  readonly place: string;
  readonly latitude: number;
  readonly longitude: number;
}

/** Where each named place lies, by the last flight there that knew its position. */
export function readPlaces(database: Database): readonly KnownPlace[] {
  return database
    .prepare(
      `SELECT place, latitude, longitude FROM flights
       WHERE id IN (SELECT max(id) FROM flights WHERE place IS NOT NULL AND latitude IS NOT NULL GROUP BY place)
       ORDER BY place`,
    )
    .all() as KnownPlace[];
}
