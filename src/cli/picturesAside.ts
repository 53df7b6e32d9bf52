import { lazyList } from '../domain/lazyList.ts';
import type { RecordingPictures } from '../domain/pictures.ts';
import type { ScratchFile } from '../cache/scratchFile.ts';

/** Small pictures that wait in the scratch file for the page: those of a thousand clips are 50 MB. */
export interface PicturesAside {
  readonly add: (made: RecordingPictures) => void;
  /** Those of each recording are read from the file whenever they are asked for. */
  readonly pictures: () => readonly RecordingPictures[];
}

export function picturesAside({ keep }: ScratchFile): PicturesAside {
  const kept: (() => RecordingPictures)[] = [];
  return {
    add: (made) => void kept.push(keep(made)),
    pictures: () => lazyList(kept.length, (at) => kept[at]!()),
  };
}
