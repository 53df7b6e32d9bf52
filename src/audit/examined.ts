import type { Measurement } from '../domain/measurement.ts';
import type { RecordingPictures } from '../domain/pictures.ts';
import type { Note, Problem, Recording } from '../domain/recording.ts';
import { shootingOrder } from '../reading/shootingOrder.ts';
import { joinedSplits } from '../reading/splitClips.ts';

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

/** Recordings as they were taken, parts of one shot joined. Problems without a recording stay in front, in the order of the walk. */
export function inShootingOrder(examined: readonly Examined[]): readonly Examined[] {
  const measured = new Map(examined.map(({ recording, measurement }) => [recording?.path, measurement]));
  const read = examined.flatMap(({ recording }) => recording ?? []);
  const ordered = joinedSplits(shootingOrder(read)).map((recording): Examined => {
    const measurement = measured.get(recording.path);
    return { recording, ...(measurement && { measurement }), problems: [] };
  });
  const rest = examined.map(({ edited, problems }) => ({ ...(edited && { edited }), problems }));
  return [...rest, ...ordered];
}

/** What was done with files and is no fault. */
export function notesOn(examined: readonly Examined[]): readonly Note[] {
  return examined.flatMap(({ recording, edited }) => [
    ...(edited === undefined ? [] : [edited]),
    ...(recording?.copies ?? []).map((path) => ({ path, message: `is a copy of ${recording!.path}` })),
  ]);
}

/** How many files turned out to be exports; nothing where none was. */
export function editedCount(examined: readonly Examined[]): { readonly edited?: number } {
  const edited = examined.filter((one) => one.edited !== undefined).length;
  return edited === 0 ? {} : { edited };
}
