import { closeSync, fstatSync, mkdtempSync, openSync, readSync, rmSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { BurntPicture, RecordingPictures, SmallPicture } from '../domain/pictures.ts';

/** Small pictures that wait in a file for the page: those of a thousand clips are 50 MB. */
export interface PictureFile {
  readonly add: (made: RecordingPictures) => void;
  /** Each reads its bytes from the file whenever they are asked for. */
  readonly pictures: readonly RecordingPictures[];
  readonly remove: () => void;
}

/** Opens a file that only its owner can read, and that is gone when the program is. */
export function openPictureFile(): PictureFile {
  const folder = mkdtempSync(path.join(tmpdir(), 'halfturn-'));
  const file = openSync(path.join(folder, 'pictures'), 'wx+', 0o600);
  const removeFolder = (): void => rmSync(folder, { recursive: true, force: true });
  // An open file outlives its name, except on Windows.
  if (process.platform !== 'win32') removeFolder();
  const pictures: RecordingPictures[] = [];
  return {
    pictures,
    add: (made) => void pictures.push(setAside(made, (bytes) => append(file, bytes))),
    remove: () => {
      closeSync(file);
      removeFolder();
    },
  };
}

type Read = () => Uint8Array;

function append(file: number, bytes: Uint8Array): Read {
  const { length } = bytes;
  const from = fstatSync(file).size;
  writeSync(file, bytes, 0, length, from);
  return () => {
    const read = new Uint8Array(length);
    readSync(file, read, 0, length, from);
    return read;
  };
}

function setAside(made: RecordingPictures, put: (bytes: Uint8Array) => Read): RecordingPictures {
  const { path: of, frames, burnt } = made;
  try {
    return {
      path: of,
      frames: frames.map((frame) => smallPicture(frame, put(frame.bytes))),
      ...(burnt && { burnt: burntPicture(burnt, put(burnt.bytes), put(burnt.stripes)) }),
    };
  } catch {
    return made; // On a full disk they stay in memory.
  }
}

function smallPicture({ atSeconds, width, height, type }: SmallPicture, read: Read): SmallPicture {
  return {
    atSeconds,
    width,
    height,
    type,
    get bytes() {
      return read();
    },
  };
}

function burntPicture(burnt: BurntPicture, read: Read, readStripes: Read): BurntPicture {
  const { atSeconds, width, height, type, stripesType } = burnt;
  return {
    atSeconds,
    width,
    height,
    type,
    stripesType,
    get bytes() {
      return read();
    },
    get stripes() {
      return readStripes();
    },
  };
}
