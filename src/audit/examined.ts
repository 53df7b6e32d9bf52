import type { Measurement } from '../domain/measurement.ts';
import type { RecordingPictures } from '../domain/pictures.ts';
import type { Note, Problem, Recording } from '../domain/recording.ts';
import { shootingOrder, joinedSplits } from '../reading/shootingOrder.ts';

import type { Alone } from './concludeAlone.ts';

/** What came of looking at one file of the dump. */
export interface Examined {
  readonly recording?: Recording;
  readonly measurement?: Measurement;
  /** Set where the file turned out to be no recording. */
  readonly edited?: Note;
  readonly problems: readonly Problem[];
  /** Only where they were asked for. */
  readonly pictures?: RecordingPictures;
}

/** What came of one file, as far as it goes without the others. */
export interface ConcludedAlone extends Pick<Examined, 'edited' | 'problems'> {
  /** Absent where nothing could be read. */
  readonly alone?: AloneAside;
}

/** What the others are held against; the whole waits in a file until this one is concluded itself. */
export interface AloneAside extends Pick<Alone, 'recording' | 'offset' | 'isSteady'> {
  readonly whole: () => Alone;
}

/** Recordings as they were taken, parts of one shot joined, behind what else became of the files. */
export function inShootingOrder(concluded: readonly ConcludedAlone[]): readonly ConcludedAlone[] {
  const read = concluded.flatMap(({ alone }) => alone ?? []);
  const byPath = new Map(read.map((alone) => [alone.recording.path, alone]));
  const ordered = joinedSplits(shootingOrder(read.map(({ recording }) => recording))).map((recording) => ({
    alone: { ...byPath.get(recording.path)!, recording },
    problems: [],
  }));
  const rest = concluded.map(({ edited, problems }) => ({ edited, problems }));
  return [...rest, ...ordered];
}

/** What was done with files and is no fault. */
export function notesOn(concluded: readonly ConcludedAlone[]): readonly Note[] {
  return concluded.flatMap(({ alone, edited }) => [
    ...(edited === undefined ? [] : [edited]),
    ...(alone?.recording.copies ?? []).map((path) => ({
      path,
      message: `is a copy of ${alone!.recording.path}`,
    })),
  ]);
}

/** How many files turned out to be exports; nothing where none was. */
export function editedCount(concluded: readonly ConcludedAlone[]): { readonly edited?: number } {
  const edited = concluded.filter((one) => one.edited !== undefined).length;
  return edited === 0 ? {} : { edited };
}
