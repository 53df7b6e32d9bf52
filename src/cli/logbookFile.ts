import { access } from 'node:fs/promises';
import path from 'node:path';
import envPaths from 'env-paths';
import { openLogbook, type Logbook } from '../logbook/store.ts';
import { cannotBeWritten, noRoom } from '../logbook/connection.ts';
import { tryFolder } from './folders.ts';

/** Where the logbook lies when `--logbook` names no file. */
export function defaultLogbookFile(): string {
  return path.join(envPaths('halfturn', { suffix: '' }).data, 'logbook.sqlite');
}

/** Whether the folder of the logbook can be made and written to, where SQLite writes beside the file as well. */
export function tryLogbookFolder(named: string | undefined): void {
  const file = named ?? defaultLogbookFile();
  try {
    tryFolder(path.dirname(path.resolve(file)));
  } catch (error) {
    const { code, message } = error as NodeJS.ErrnoException;
    throw code === 'ENOSPC' ? noRoom(file, message) : cannotBeWritten(file);
  }
}

/** Opens the logbook that was named, or the usual one, for as long as the work takes. */
export async function withLogbook<T>(
  named: string | undefined,
  create: boolean,
  work: (logbook: Logbook) => T | Promise<T>,
): Promise<T> {
  const logbook = openLogbook(named ?? defaultLogbookFile(), { create });
  try {
    return await work(logbook);
  } finally {
    logbook.close();
  }
}

/** Like `withLogbook`, but a logbook that is not there is no error: there is nothing in it. */
export async function withLogbookIfThere<T>(
  named: string | undefined,
  work: (logbook: Logbook | undefined) => T | Promise<T>,
): Promise<T> {
  const file = named ?? defaultLogbookFile();
  const there = await access(path.resolve(file))
    .then(() => true)
    .catch((error: NodeJS.ErrnoException) => error.code !== 'ENOENT');
  return there ? withLogbook(named, false, work) : work(undefined);
}
