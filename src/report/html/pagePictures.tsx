import type { BurntPicture, RecordingPictures, SmallPicture } from '../../domain/measurement.ts';
import type { ReportedRecording } from '../../document/reportedRecording.ts';
import { isFlagged } from '../arrangement.ts';

/** Bytes of all pictures together; written as text they take a third more, and a page of 100 stays below 3 MB. */
const mostPictureBytes = 1_500_000;

type Chosen = (pictures: RecordingPictures, flagged: boolean) => RecordingPictures;

/** From everything to little: what is left out first is what is missed least. */
const choices: readonly Chosen[] = [
  (pictures) => pictures,
  (pictures, flagged) => (flagged ? pictures : onlyMiddle(pictures)),
  ({ burnt, ...pictures }, flagged) => ({ ...onlyMiddle(pictures), burnt: flagged ? burnt : undefined }),
  ({ path, frames }) => onlyMiddle({ path, frames }),
];

/** The pictures of each recording, in the order of the recordings, as many as a page can carry. */
export function pagePictures(
  recordings: readonly ReportedRecording[],
  pictures: readonly RecordingPictures[],
  mostBytes = mostPictureBytes,
): readonly (RecordingPictures | undefined)[] {
  const byPath = new Map(pictures.map((each) => [each.path, each]));
  for (const choose of choices) {
    const chosen = recordings.map((recording) => {
      const all = byPath.get(recording.path);
      return all && choose(all, isFlagged(recording));
    });
    const bytes = chosen.reduce((sum, each) => sum + (each === undefined ? 0 : bytesOf(each)), 0);
    if (bytes <= mostBytes) return chosen;
  }
  return recordings.map(() => undefined);
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

function dataUrl(type: string, bytes: Uint8Array): string {
  return `data:${type};base64,${Buffer.from(bytes).toString('base64')}`;
}

interface PictureProps {
  readonly picture: SmallPicture;
  /** When it was taken, where the script shows it larger. */
  readonly when?: string;
}

export function Picture({ picture, when }: PictureProps) {
  const { type, bytes, width, height } = picture;
  const source = dataUrl(type, bytes);
  return <img src={source} width={width} height={height} alt="" decoding="async" data-when={when} />;
}

/** The frame that clips most, striped where it does. */
export function BurntFrame({ burnt, caption }: { readonly burnt: BurntPicture; readonly caption: string }) {
  const { width, height, stripes, stripesType } = burnt;
  return (
    <figure class="burnt">
      <div>
        <Picture picture={burnt} />
        <img src={dataUrl(stripesType, stripes)} width={width} height={height} alt="" decoding="async" />
      </div>
      <figcaption>{caption}</figcaption>
    </figure>
  );
}
