import { randomUUID } from 'node:crypto';
import { mkdirSync, rmdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import path from 'node:path';

// All at once, so that no signal ends the program between making something and taking it away.

/**
 * Makes a folder with the folders above it, and says which were not there, the outermost first. Node's own way tries
 * without end below /proc, where none can be made.
 */
export function makeFolder(folder: string): readonly string[] {
  try {
    mkdirSync(folder);
    return [folder];
  } catch (error) {
    if (isFolder(folder)) return [];
    const parent = path.dirname(folder);
    if ((error as NodeJS.ErrnoException).code !== 'ENOENT' || parent === folder) throw error;
    const above = makeFolder(parent);
    try {
      mkdirSync(folder);
      return [...above, folder];
    } catch (cause) {
      removeEmpty(above);
      throw cause;
    }
  }
}

function isFolder(folder: string): boolean {
  try {
    return statSync(folder).isDirectory();
  } catch {
    return false;
  }
}

/** Removes folders that nothing lies in; given with the outermost first. */
export function removeEmpty(folders: readonly string[]): void {
  for (const folder of folders.toReversed()) {
    try {
      rmdirSync(folder);
    } catch {
      // Something lies in it, or it is gone already.
    }
  }
}

/** Less than any report takes, and more than a full disk gives. */
const trialBytes = 64 << 10;

/** Throws what the system says where a folder cannot be made or written to. Nothing is left behind. */
export function tryFolder(folder: string): void {
  const made = makeFolder(folder);
  const trial = path.join(folder, `.halfturn-${randomUUID()}`);
  try {
    writeFileSync(trial, Buffer.alloc(trialBytes), { flag: 'wx' });
  } finally {
    rmSync(trial, { force: true });
    removeEmpty(made);
  }
}
