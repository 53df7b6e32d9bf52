import { copyFileSync, mkdtempSync, rmSync, statSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import type { DatabaseSyncInstance, EnhancedDatabaseSync } from '@photostructure/sqlite';
import { HalfturnError } from '../domain/halfturnError.ts';

/** SQLite as Node's own `node:sqlite` has it (which Node 20 lacks), with `pragma()`, `transaction()` and `pluck()`. */
export type Connection = EnhancedDatabaseSync<DatabaseSyncInstance>;

/** @param file a path; where it is only read, a `file:` address as well */
export function connected(file: string, waitMs: number, readOnly = false): Connection {
  try {
    const sqlite = createRequire(import.meta.url)(
      '@photostructure/sqlite',
    ) as typeof import('@photostructure/sqlite');
    const options = { timeout: waitMs, allowUnknownNamedParameters: true, readOnly };
    // As an absolute path: the names "" and ":memory:" would mean a database that is gone when it is closed.
    const address = readOnly && file.startsWith('file:') ? file : path.resolve(file);
    return sqlite.enhance(new sqlite.DatabaseSync(address, options));
  } catch (error) {
    if (isSqliteError(error)) throw error;
    throw new HalfturnError(
      `The logbook needs SQLite, which does not work here: ${(error as Error).message.split('\n')[0]}.`,
      'Install Halfturn again where it is installed, or audit with --no-logbook.',
    );
  }
}

/**
 * A logbook that can be read and not written. Even reading a database writes beside it, which a full or a read-only disk
 * does not allow. SQLite reads one that is promised not to change without (https://sqlite.org/uri.html#uriimmutable), but
 * then sees nothing of what stands in the journal beside it: where there is one, both are read from a copy.
 */
export function connectedForReading(file: string): {
  readonly database: Connection;
  readonly discard: () => void;
} {
  const journal = `${file}-wal`;
  if ((statSync(journal, { throwIfNoEntry: false })?.size ?? 0) === 0)
    return {
      database: connected(`${pathToFileURL(path.resolve(file)).href}?immutable=1`, 0, true),
      discard: () => {},
    };
  const folder = mkdtempSync(path.join(tmpdir(), 'halfturn-logbook-'));
  const discard = () => rmSync(folder, { recursive: true, force: true });
  try {
    const copy = path.join(folder, 'logbook.sqlite');
    copyFileSync(file, copy);
    copyFileSync(journal, `${copy}-wal`);
    return { database: connected(copy, 0, true), discard };
  } catch (error) {
    discard();
    throw error;
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

/**
 * What SQLite says of each of its result codes that matter here (https://sqlite.org/rescode.html). The package hands the
 * code itself over for some failures only, the text for all of them.
 */
const sqliteTexts = {
  busy: 'database is locked',
  locked: 'database table is locked',
  notADatabase: 'file is not a database',
  corrupt: 'database disk image is malformed',
  corruptSchema: 'malformed database schema',
  readOnly: 'attempt to write a readonly database',
  cannotOpen: 'unable to open database file',
  noPermission: 'access permission denied',
  full: 'database or disk is full',
  inputOrOutput: 'disk I/O error',
} as const;

function isSqliteError(error: unknown): error is Error {
  return error instanceof Error && 'code' in error && error.code === 'ERR_SQLITE_ERROR';
}

/** Work on a logbook, whose failures are one sentence for the person, and what to do. */
export function guarded<T>(file: string, work: () => T): T {
  try {
    return work();
  } catch (error) {
    if (isSqliteError(error)) throw storeFailure(file, error);
    const failure = error as NodeJS.ErrnoException;
    throw failure.syscall === undefined ? error : fileFailure(file, failure);
  }
}

/** Whether what failed is that nothing can be written, beside the file or into it. */
export function isUnwritable(error: unknown): boolean {
  const texts = ['readOnly', 'cannotOpen', 'noPermission', 'full', 'inputOrOutput'] as const;
  return isSqliteError(error) && texts.some((code) => error.message.includes(sqliteTexts[code]));
}

/** Nothing is repaired or overwritten here. */
function storeFailure(file: string, { message }: Error): HalfturnError {
  const named = `The logbook "${file}"`;
  const says = (...codes: readonly (keyof typeof sqliteTexts)[]) =>
    codes.some((code) => message.includes(sqliteTexts[code]));
  if (says('busy', 'locked'))
    return new HalfturnError(
      `${named} is being written by another program, and waiting did not help.`,
      'Let it finish and try again. Nothing was changed.',
    );
  if (says('notADatabase')) return noLogbook(file);
  if (says('corrupt', 'corruptSchema'))
    return new HalfturnError(
      `${named} is damaged (${message}).`,
      'Put a copy of it back, or move it away and import your last export. Nothing was changed.',
    );
  if (says('readOnly', 'cannotOpen', 'noPermission')) return cannotBeWritten(file);
  if (says('full', 'inputOrOutput')) return noRoom(file, message);
  return new HalfturnError(`${named} could not be used: ${message}.`, 'Name another file with --logbook.');
}

export function noLogbook(file: string): HalfturnError {
  return new HalfturnError(
    `"${file}" is no logbook.`,
    'Name another file with --logbook. Nothing was changed.',
  );
}

/** Of the file itself, its folder, or the copy of it that is read. */
export function fileFailure(file: string, { code, message }: NodeJS.ErrnoException): HalfturnError {
  return code === 'ENOSPC' ? noRoom(file, message) : cannotBeWritten(file);
}

function noRoom(file: string, message: string): HalfturnError {
  return new HalfturnError(
    `The logbook "${file}" could not be written: ${message}.`,
    'Check that the disk has room and is sound. What was entered before is still there.',
  );
}

function cannotBeWritten(file: string): HalfturnError {
  return new HalfturnError(
    `The logbook "${file}" cannot be written.`,
    'Check that you may write the file and its folder, or name another one with --logbook.',
  );
}
