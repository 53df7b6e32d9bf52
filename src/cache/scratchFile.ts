import { closeSync, mkdtempSync, openSync, readSync, rmSync, writeSync } from 'node:fs';
import path from 'node:path';
import { deserialize, serialize } from 'node:v8';

/** What is not needed for a while waits in a file instead of in memory. */
export interface ScratchFile {
  /** Takes a plain value away and gives it back, each time anew. Where there is no room on disk it stays in memory. */
  readonly keep: <T>(value: T) => () => T;
  readonly remove: () => void;
}

interface Place {
  readonly at: number;
  readonly length: number;
}

type Append = (bytes: Uint8Array) => Place;
type Read = (place: Place) => Uint8Array;

/**
 * A file that only its owner can read, made in the folder when the first bytes come, and gone when the program is.
 * Without a folder there is no room on disk.
 *
 * @param onUse hears each time before something is written to the file or read from it
 */
export function openScratchFile(folder: string | undefined, onUse?: () => void): ScratchFile {
  let opened: Opened | undefined;
  let isRemoved = false;
  let end = 0;
  const append: Append = (bytes) => {
    // Work that is still under way then must not write to what has its number now.
    if (isRemoved) throw new Error('The scratch file was removed');
    onUse?.();
    opened ??= openWithoutName(folder);
    const place = { at: end, length: bytes.length };
    // A disk that fills up takes the beginning without a word.
    if (writeSync(opened.file, bytes, 0, bytes.length, place.at) < bytes.length)
      throw new Error('The disk is full');
    end += bytes.length;
    return place;
  };
  const read: Read = ({ at, length }) => {
    if (isRemoved) throw new Error('The scratch file was removed');
    onUse?.();
    const bytes = new Uint8Array(length);
    readSync(opened!.file, bytes, 0, length, at);
    return bytes;
  };
  return {
    keep: (value) => {
      const place = placed(value, append);
      return place === undefined ? fromMemory(value) : fromFile(place, read);
    },
    remove: () => {
      if (!isRemoved) opened?.remove();
      isRemoved = true;
    },
  };
}

function placed(value: unknown, append: Append): Place | undefined {
  try {
    return append(serialize(value));
  } catch {
    return undefined;
  }
}

// Each in a function of its own: functions made in one place hold on to all that any of them uses.

function fromMemory<T>(value: T): () => T {
  return () => value;
}

function fromFile<T>(place: Place, read: Read): () => T {
  return () => deserialize(read(place)) as T;
}

interface Opened {
  readonly file: number;
  readonly remove: () => void;
}

function openWithoutName(parent: string | undefined): Opened {
  if (parent === undefined) throw new Error('There is no folder for the scratch file');
  const folder = mkdtempSync(path.join(parent, 'halfturn-'));
  const removeFolder = (): void => rmSync(folder, { recursive: true, force: true });
  try {
    const file = openSync(path.join(folder, 'scratch'), 'wx+', 0o600);
    const remove = (): void => {
      closeSync(file);
      removeFolder();
    };
    return { file, remove };
  } finally {
    // An open file outlives its name, except on Windows.
    if (process.platform !== 'win32') removeFolder();
  }
}
