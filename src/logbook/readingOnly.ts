import { copyFileSync, mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { connected, type Connection } from './connection.ts';

/*
 * Even reading a database writes beside it, which a full or a read-only disk does not allow. SQLite reads one that is
 * promised not to change without (https://sqlite.org/uri.html#uriimmutable), but then sees nothing of what stands in the
 * journal beside it: where there is one, both are read from a copy.
 */

/** A logbook that can be read and not written, where it lies on a disk that takes nothing. */
export function connectedForReading(file: string): {
  readonly database: Connection;
  readonly discard: () => void;
} {
  const journal = `${file}-wal`;
  if ((statSync(journal, { throwIfNoEntry: false })?.size ?? 0) === 0)
    return { database: connected(immutable(file), 0, true), discard: () => {} };
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

function immutable(file: string): string {
  return `${pathToFileURL(path.resolve(file)).href}?immutable=1`;
}
