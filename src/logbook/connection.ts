import type { DatabaseSyncInstance, EnhancedDatabaseSync } from '@photostructure/sqlite';
import { createRequire } from 'node:module';
import path from 'node:path';
import { HalfturnError } from '../domain/halfturnError.ts';
import { isSqliteError } from './storeFailure.ts';

/** SQLite as Node's own `node:sqlite` has it (which Node 20 lacks), with `pragma()`, `transaction()` and `pluck()`. */
export type Connection = EnhancedDatabaseSync<DatabaseSyncInstance>;

export function connected(file: string, waitMs: number): Connection {
  try {
    const sqlite = createRequire(import.meta.url)(
      '@photostructure/sqlite',
    ) as typeof import('@photostructure/sqlite');
    const options = { timeout: waitMs, allowUnknownNamedParameters: true };
    // As an absolute path: the names "" and ":memory:" would mean a database that is gone when it is closed.
    return sqlite.enhance(new sqlite.DatabaseSync(path.resolve(file), options));
  } catch (error) {
    if (isSqliteError(error)) throw error;
    throw new HalfturnError(
      `The logbook needs SQLite, which does not work here: ${(error as Error).message.split('\n')[0]}.`,
      'Install Halfturn again where it is installed, or audit with --no-logbook.',
    );
  }
}

/**
 * The package finishes its statements when the process ends, and SQLite tidies up with the last of them. So that the file
 * is whole by itself from now on, what still stands in the journal beside it is brought in first.
 */
export function disconnect(connection: Connection): void {
  try {
    connection.exec('PRAGMA wal_checkpoint(PASSIVE)');
  } catch {
    // What was committed stays in the journal, and the next opening finds it there.
  }
  connection.close();
}
