import type { Database } from './database.ts';

/** What a pilot mostly flies with; absent where nothing was recorded. */
export interface Habits {
  readonly camera?: string;
  readonly fNumber?: number;
  /** Frame rates of clips, the most frequent first. */
  readonly framesPerSecond: readonly number[];
}

/** Of the recordings that were entered last: what was flown years ago is no habit. */
const latest = 2000;

export function readHabits(database: Database): Habits {
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
    camera,
    fNumber,
    framesPerSecond: frequent<number>('framesPerSecond', "kind = 'clip'"),
  };
}
