import { expect, test } from 'vitest';
import { openPictureFile } from '../../src/cli/pictureFile.ts';
import { exampleDocument } from '../reporting/exampleDocument.ts';
import { heavyPictures } from '../reporting/madePictures.ts';

test('pictures come back from the file as they were put there, in any order and more than once', () => {
  const made = heavyPictures(exampleDocument.recordings);
  const file = openPictureFile();
  try {
    for (const each of made) file.add(each);
    // A clone holds the bytes themselves, and no Buffer.
    expect(structuredClone(file.pictures.toReversed())).toEqual(structuredClone(made.toReversed()));
    expect(structuredClone(file.pictures)).toEqual(structuredClone(made));
  } finally {
    file.remove();
  }
});

test('none are kept in memory', () => {
  const file = openPictureFile();
  try {
    const bytes = new Uint8Array([1, 2, 3]);
    const frame = { atSeconds: 0, width: 1, height: 1, type: 'image/webp', bytes } as const;
    file.add({ path: 'A', frames: [frame] });
    bytes.fill(0);
    expect([...file.pictures[0]!.frames[0]!.bytes]).toEqual([1, 2, 3]);
  } finally {
    file.remove();
  }
});
