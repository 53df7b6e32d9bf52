/** What a pilot mostly flies with; absent where nothing was recorded. */
export interface Habits {
  readonly camera?: string;
  readonly fNumber?: number;
  /** Frame rates of clips, the most frequent first. */
  readonly framesPerSecond: readonly number[];
}

interface Asking {
  prepare(statement: string): { pluck(): { all(...values: readonly unknown[]): unknown[] } };
}

/** Of the recordings that were entered last: what was flown years ago is no habit. */
const latest = 2000;

export function readHabits(database: Asking): Habits {
  const frequent = <T>(column: string, where: string) =>
    database
      .prepare(
        `SELECT ${column} FROM (SELECT * FROM recordings ORDER BY id DESC LIMIT ${latest})
         WHERE ${column} IS NOT NULL AND ${where} GROUP BY ${column} ORDER BY count(*) DESC, ${column}`,
      )
      .pluck()
      .all() as T[];
  const [camera] = frequent<string>('camera', 'true');
  const [fNumber] = frequent<number>('fNumber', "kind = 'clip'");
  return {
    ...(camera !== undefined && { camera }),
    ...(fNumber !== undefined && { fNumber }),
    framesPerSecond: frequent<number>('framesPerSecond', "kind = 'clip'"),
  };
}

export interface KnownPlace {
  readonly place: string;
  readonly latitude: number;
  readonly longitude: number;
}

interface AskingRows {
  prepare(statement: string): { all(...values: readonly unknown[]): unknown[] };
}

/** Where each named place lies, by the last flight there that knew its position. */
export function readPlaces(database: AskingRows): readonly KnownPlace[] {
  return database
    .prepare(
      `SELECT place, latitude, longitude FROM flights
       WHERE id IN (SELECT max(id) FROM flights WHERE place IS NOT NULL AND latitude IS NOT NULL GROUP BY place)
       ORDER BY place`,
    )
    .all() as KnownPlace[];
}
