import { tmpdir } from 'node:os';
import { expect, test } from 'vitest';
import { picturesAside, type PicturesAside } from '../../src/cli/picturesAside.ts';
import type { RecordingPictures, SmallPicture } from '../../src/domain/pictures.ts';
import { openScratchFile } from '../../src/cache/scratchFile.ts';
import { afterCollecting } from '../afterCollecting.ts';
import { exampleDocument } from '../report/exampleDocument.ts';
import { heavyPictures } from '../report/madePictures.ts';

const plainPicture = ({ atSeconds, width, height, type, sizeBytes, bytes }: SmallPicture) => ({
  atSeconds,
  width,
  height,
  type,
  sizeBytes,
  bytes: new Uint8Array(bytes),
});

/** All that the page asks of pictures, read once. */
function plain({ path, frames, burnt }: RecordingPictures): RecordingPictures {
  if (burnt === undefined) return { path, frames: frames.map(plainPicture) };
  const { stripesType, stripes } = burnt;
  return {
    path,
    frames: frames.map(plainPicture),
    burnt: { ...plainPicture(burnt), stripesType, stripes: new Uint8Array(stripes) },
  };
}

test('pictures come back from the file as they were put there, in any order and more than once', () => {
  const made = heavyPictures(exampleDocument.recordings);
  const file = openScratchFile(tmpdir());
  const aside = picturesAside(file);
  try {
    for (const each of made) aside.add(each);
    expect(aside.pictures().toReversed().map(plain)).toEqual(made.toReversed().map(plain));
    expect(aside.pictures().map(plain)).toEqual(made.map(plain));
  } finally {
    file.remove();
  }
});

test('none are kept in memory', async () => {
  const file = openScratchFile(tmpdir());
  const aside = picturesAside(file);
  try {
    const added = addedWeakly(aside);
    await afterCollecting();
    expect(added.deref()).toBeUndefined();
    expect([...aside.pictures()[0]!.frames[0]!.bytes]).toEqual([1, 2, 3]);
  } finally {
    file.remove();
  }
});

/** In a function of its own, so that nothing in the test still holds the picture. */
function addedWeakly(aside: PicturesAside): WeakRef<Uint8Array> {
  const bytes = new Uint8Array([1, 2, 3]);
  const frame = { atSeconds: 0, width: 1, height: 1, type: 'image/webp', sizeBytes: 3, bytes } as const;
  aside.add({ path: 'A', frames: [frame] });
  return new WeakRef(bytes);
}
