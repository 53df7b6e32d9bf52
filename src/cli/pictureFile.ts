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
    add: (made) => void pictures.push(setAside(file, made)),
    remove: () => {
      closeSync(file);
      removeFolder();
    },
  };
}

function setAside(file: number, made: RecordingPictures): RecordingPictures {
  const { path: of, frames, burnt } = made;
  try {
    return {
      path: of,
      frames: frames.map((frame) => new StoredPicture(frame, append(file, frame.bytes))),
      ...(burnt && {
        burnt: new StoredBurntPicture(burnt, append(file, burnt.bytes), append(file, burnt.stripes)),
      }),
    };
  } catch {
    return made; // On a full disk they stay in memory.
  }
}

function append(file: number, bytes: Uint8Array): Stored {
  const from = fstatSync(file).size;
  writeSync(file, bytes, 0, bytes.length, from);
  return { file, from, length: bytes.length };
}

interface Stored {
  readonly file: number;
  readonly from: number;
  readonly length: number;
}

function bytesOf({ file, from, length }: Stored): Uint8Array {
  const read = new Uint8Array(length);
  readSync(file, read, 0, length, from);
  return read;
}

// Classes, because objects with a getter of their own take some 700 bytes each, and a card has thousands.

class StoredPicture implements SmallPicture {
  readonly atSeconds: number;
  readonly width: number;
  readonly height: number;
  readonly type: SmallPicture['type'];
  readonly #stored: Stored;

  constructor({ atSeconds, width, height, type }: SmallPicture, stored: Stored) {
    this.atSeconds = atSeconds;
    this.width = width;
    this.height = height;
    this.type = type;
    this.#stored = stored;
  }

  get bytes(): Uint8Array {
    return bytesOf(this.#stored);
  }
}

class StoredBurntPicture extends StoredPicture implements BurntPicture {
  readonly stripesType: BurntPicture['stripesType'];
  readonly #stripes: Stored;

  constructor(burnt: BurntPicture, stored: Stored, stripes: Stored) {
    super(burnt, stored);
    this.stripesType = burnt.stripesType;
    this.#stripes = stripes;
  }

  get stripes(): Uint8Array {
    return bytesOf(this.#stripes);
  }
}
