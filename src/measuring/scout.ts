import { fileSource } from '../containers/byteSource.ts';
import { mp4Pictures } from '../containers/mp4Pictures.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import type { FrameMeasure } from '../domain/measurement.ts';
import type { Facts } from '../domain/recording.ts';
import { isMp4OrMov, openMedia } from '../programs/openMedia.ts';
import { feedPictures } from './decoding/feeding.ts';
import type { ClipDecoding } from './decoding/look.ts';
import { picturesDiffer } from './firstLook.ts';
import { planFrameMeter } from './frameMeter.ts';

/** What the camera's low-resolution copy shows of a clip: where to look, and nothing that is told of the clip. */
interface Scouted {
  readonly frames: number;
  /** Where it clips most or is brightest, and where its pictures differ also where it is darkest; in order of time. */
  readonly placesSeconds: readonly number[];
  readonly differ: boolean;
}

/** Of a copy: what is told of it is where to look, not how much. */
const enoughRows = 90;

/**
 * Looks at every key frame of a low-resolution copy, for a fifteenth of the cost of those of the clip. Undefined where it
 * is not as long as the clip to a frame, or cannot be read: it goes by a name alone, and may be anything.
 */
export async function scoutCopy(
  copy: string | Buffer,
  clip: Pick<ClipDecoding, 'program' | 'media' | 'signal' | 'framesPerSecond'> & {
    readonly endSeconds: number;
  },
  { transfer, rotationDegrees, exposureSeconds }: Facts,
): Promise<Scouted | undefined> {
  const media = await openMedia(copy).catch(ignoreRefusal);
  if (media === undefined) return undefined;
  try {
    const table = (await isMp4OrMov(media)) ? mp4Pictures(fileSource(media)) : undefined;
    if (table === undefined || Math.abs(table.endSeconds - clip.endSeconds) > 1.5 / clip.framesPerSecond)
      return undefined;
    const { width, height } = table;
    const geometry = { width, height, bitDepth: 8 } as const;
    const meter = planFrameMeter({ transfer, rotationDegrees, exposureSeconds }, geometry);
    const pictures = feedPictures({ ...clip, media, geometry, enoughRows }, table).look({ everyKey: true });
    for (;;) {
      const next = await pictures.next();
      if (next.done === true) {
        const { frames } = meter.result();
        const scenes = frames.filter(({ noScene }) => noScene === undefined);
        return next.value === undefined ? placesIn(scenes, frames.length) : undefined;
      }
      meter.measure(next.value.frame);
    }
  } catch (error) {
    return ignoreRefusal(error);
  } finally {
    // Another time the copy may show where to look.
    if (media.transient === true) clip.media.transient = true;
    await media.close();
  }
}

function placesIn(frames: readonly FrameMeasure[], lookedAt: number): Scouted | undefined {
  const byLevel = frames.toSorted((a, b) => (a.levelStops ?? 0) - (b.levelStops ?? 0));
  const byClipping = frames.toSorted((a, b) => b.clippedFraction - a.clippedFraction);
  const [brightest, darkest, burnt] = [byLevel.at(-1), byLevel[0], byClipping[0]];
  if (brightest === undefined || darkest === undefined || burnt === undefined) return undefined;
  const differ = picturesDiffer(frames);
  const worst = burnt.clippedFraction > 0 ? burnt : brightest;
  const places = differ ? [worst, brightest, darkest] : [worst];
  const placesSeconds = [...new Set(places.map(({ atSeconds }) => atSeconds))].sort((a, b) => a - b);
  return { frames: lookedAt, placesSeconds, differ };
}

/** Also what the system says of a read that fails. */
function ignoreRefusal(error: unknown): undefined {
  const isOfSystem = error instanceof Error && 'errno' in error;
  if (!(error instanceof HalfturnError) && !isOfSystem) throw error;
  return undefined;
}
