import type { Ceiling } from '../domain/measurement.ts';
import type { RecordingPictures, SmallPicture } from '../domain/pictures.ts';
import type { Facts } from '../domain/recording.ts';
import type { Frame } from './decoding/frame.ts';
import { turnAfterDecoding, type StillPixels } from './stillPixels.ts';
import {
  brightness,
  burntPicture,
  burntPixels,
  clippedPlaces,
  stripPicture,
  stripPixels,
  thumbnailOfFrame,
  thumbnailOfPixels,
  type Thumbnail,
  type Video,
} from './thumbnail.ts';

/** Keeps small pictures of what is looked at while it is measured. */
export interface PictureCollector {
  readonly frame: (frame: Frame) => void;
  readonly pixels: (pixels: StillPixels) => void;
  readonly result: (path: string, ceiling: Ceiling) => Promise<RecordingPictures>;
}

const framesShown = 6;
/** More are thinned to every second. */
const mostKept = 24;
/** Less cannot be seen at this size. */
const leastMarked = 0.0005;

export function planPictures(facts: Facts): PictureCollector {
  const { range, transfer } = facts;
  const video: Video = { range: range?.value ?? 'narrow', transfer: transfer?.value };
  let kept: Thumbnail[] = [];
  let brightest: { readonly thumbnail: Thumbnail; readonly brightness: number } | undefined;
  let seen = 0;
  let step = 1;
  return {
    frame: (frame) => {
      const bright = brightness(frame, video);
      if (bright > (brightest?.brightness ?? 0))
        brightest = { thumbnail: thumbnailOfFrame(frame, video, burntPixels), brightness: bright };
      if (seen++ % step !== 0) return;
      kept.push(thumbnailOfFrame(frame, video, stripPixels));
      if (kept.length <= mostKept) return;
      kept = kept.filter((_, index) => index % 2 === 0);
      step *= 2;
    },
    pixels: (pixels) => {
      kept.push(thumbnailOfPixels(pixels, stripPixels));
      brightest = { thumbnail: thumbnailOfPixels(pixels, burntPixels), brightness: 1 };
    },
    result: async (path, ceiling) => {
      const turned = turnAfterDecoding(facts);
      const frames: SmallPicture[] = [];
      // Steps with a pair are looked at last.
      const inOrder = kept.toSorted((a, b) => a.atSeconds - b.atSeconds);
      for (const thumbnail of evenlySpread(inOrder, framesShown))
        frames.push(await stripPicture(thumbnail, turned));
      const worst = brightest?.thumbnail;
      if (worst === undefined || clippedPlaces(worst, ceiling.signal) < leastMarked * worst.luma.length)
        return { path, frames };
      const marked = { rotationDegrees: turned, ceilingSignal: ceiling.signal };
      return { path, frames, burnt: await burntPicture(worst, marked) };
    },
  };
}

/** So many at most, from the middle of equal stretches: of eight the third and the seventh where two are shown. */
function evenlySpread<T>(all: readonly T[], most: number): readonly T[] {
  if (all.length <= most) return all;
  return Array.from({ length: most }, (_, at) => all[Math.floor(((at + 0.5) * all.length) / most)]!);
}
