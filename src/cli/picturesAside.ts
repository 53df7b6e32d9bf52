import type { BurntPicture, RecordingPictures, SmallPicture } from '../domain/pictures.ts';
import type { Place, ScratchFile } from '../remembering/scratchFile.ts';

/** Small pictures that wait in the scratch file for the page: those of a thousand clips are 50 MB. */
export interface PicturesAside {
  readonly add: (made: RecordingPictures) => void;
  /** Each reads its bytes from the file whenever they are asked for. */
  readonly pictures: () => readonly RecordingPictures[];
}

export function picturesAside(file: ScratchFile): PicturesAside {
  const kept: (() => RecordingPictures)[] = [];
  return {
    add: (made) => void kept.push(setAside(file, made)),
    pictures: () => kept.map((one) => one()),
  };
}

function setAside(file: ScratchFile, made: RecordingPictures): () => RecordingPictures {
  try {
    return fromFile(file, file.keep(withoutBytes(file, made)));
  } catch {
    return fromMemory(made); // On a full disk they stay there.
  }
}

// Each in a function of its own: functions made in one place hold on to all that any of them uses.

function fromFile(file: ScratchFile, known: () => Known): () => RecordingPictures {
  return () => withBytes(file, known());
}

function fromMemory(made: RecordingPictures): () => RecordingPictures {
  return () => made;
}

type Known = ReturnType<typeof withoutBytes>;

function withoutBytes({ append }: ScratchFile, { path, frames, burnt }: RecordingPictures) {
  return {
    path,
    frames: frames.map(({ bytes, ...frame }) => ({ ...frame, place: append(bytes) })),
    burnt: burnt && burntWithoutBytes(append, burnt),
  };
}

function burntWithoutBytes(append: ScratchFile['append'], { bytes, stripes, ...burnt }: BurntPicture) {
  return { ...burnt, place: append(bytes), stripesPlace: append(stripes) };
}

function withBytes({ read }: ScratchFile, { path, frames, burnt }: Known): RecordingPictures {
  return {
    path,
    frames: frames.map((frame) => new StoredPicture(frame, read)),
    ...(burnt && { burnt: new StoredBurntPicture(burnt, read) }),
  };
}

type Read = (place: Place) => Uint8Array;

// Classes, because objects with a getter of their own take some 700 bytes each, and a card has thousands.

class StoredPicture implements SmallPicture {
  readonly atSeconds: number;
  readonly width: number;
  readonly height: number;
  readonly type: SmallPicture['type'];
  readonly sizeBytes: number;
  readonly #place: Place;
  readonly #read: Read;

  constructor({ atSeconds, width, height, type, sizeBytes, place }: Known['frames'][number], read: Read) {
    this.atSeconds = atSeconds;
    this.width = width;
    this.height = height;
    this.type = type;
    this.sizeBytes = sizeBytes;
    this.#place = place;
    this.#read = read;
  }

  get bytes(): Uint8Array {
    return this.#read(this.#place);
  }
}

class StoredBurntPicture extends StoredPicture implements BurntPicture {
  readonly stripesType: BurntPicture['stripesType'];
  readonly #stripes: () => Uint8Array;

  constructor(burnt: NonNullable<Known['burnt']>, read: Read) {
    super(burnt, read);
    this.stripesType = burnt.stripesType;
    this.#stripes = () => read(burnt.stripesPlace);
  }

  get stripes(): Uint8Array {
    return this.#stripes();
  }
}
