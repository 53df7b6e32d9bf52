import type { RecordingPictures, SmallPicture } from '../../domain/pictures.ts';
import type { ReportedRecording } from '../../document/reportedRecording.ts';
import { isFlagged } from '../arrangement.ts';

/** Bytes of all pictures together; written as text they take a third more, and a page stays well below 15 MB. */
const mostPictureBytes = 9_000_000;

type Chosen = (pictures: RecordingPictures, flagged: boolean) => RecordingPictures;

/** From everything to little: what is left out first is what is missed least. */
const choices: readonly Chosen[] = [
  (pictures) => pictures,
  (pictures, flagged) => (flagged ? pictures : onlyMiddle(pictures)),
  ({ burnt, ...pictures }, flagged) => ({
    ...onlyMiddle(pictures),
    ...(flagged && burnt !== undefined ? { burnt } : {}),
  }),
  ({ path, frames }) => onlyMiddle({ path, frames }),
];

/** Pictures of one recording, read when they are asked for and held by nobody. */
export type PicturesOnDemand = () => RecordingPictures;

/**
 * The pictures of each recording, in the order of the recordings, as many as a page can carry. Looks at each entry of the
 * list of pictures once, and again whenever it is asked for.
 */
export function pagePictures(
  recordings: readonly ReportedRecording[],
  pictures: readonly RecordingPictures[],
  mostBytes = mostPictureBytes,
): readonly (PicturesOnDemand | undefined)[] {
  const shown = recordings.map(({ path, findings }) => ({ path, flagged: isFlagged({ findings }) }));
  const flags = new Map(shown.map(({ path, flagged }) => [path, flagged]));
  const sizes = choices.map(() => 0);
  const places = new Map<string, number>();
  for (const [at, each] of pictures.entries()) {
    const flagged = flags.get(each.path);
    if (flagged === undefined) continue;
    places.set(each.path, at);
    for (const [choice, choose] of choices.entries()) sizes[choice]! += bytesOf(choose(each, flagged));
  }
  const choose = choices.find((_, choice) => sizes[choice]! <= mostBytes);
  return shown.map(({ path, flagged }) => {
    const at = places.get(path);
    return choose && at !== undefined ? () => choose(pictures[at]!, flagged) : undefined;
  });
}

function bytesOf({ frames, burnt }: RecordingPictures): number {
  return frames.reduce((sum, { sizeBytes }) => sum + sizeBytes, burnt?.sizeBytes ?? 0);
}

function onlyMiddle(pictures: RecordingPictures): RecordingPictures {
  const middle = middlePicture(pictures);
  return { ...pictures, frames: middle === undefined ? [] : [middle] };
}

/** The picture that stands for a recording. */
export function middlePicture({ frames }: RecordingPictures): SmallPicture | undefined {
  return frames[Math.floor(frames.length / 2)];
}

/** A picture as an address that holds it whole. */
export function dataUrl(type: string, bytes: Uint8Array): string {
  return `data:${type};base64,${Buffer.from(bytes).toString('base64')}`;
}
