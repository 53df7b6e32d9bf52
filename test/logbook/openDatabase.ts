import { DatabaseSync, enhance, type DatabaseSyncOptions } from '@photostructure/sqlite';

/** Looks into a logbook, or makes the database of another program, without any code of ours. */
export function openDatabase(file: string, options: DatabaseSyncOptions = {}) {
  return enhance(new DatabaseSync(file, options));
}
