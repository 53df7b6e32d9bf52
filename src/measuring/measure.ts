import { HalfturnError } from '../domain/halfturnError.ts';
import { framesPerSecond } from '../domain/frameRate.ts';
import type { Limits } from '../domain/limits.ts';
import type { Measurement, RecordingPictures } from '../domain/measurement.ts';
import type { Facts, Recording } from '../domain/recording.ts';
import type { Program } from '../programs/run.ts';
import { openMedia, type OpenMedia } from '../programs/openMedia.ts';
import { measureClip } from './measureClip.ts';
import { measureStill } from './measureStill.ts';
import { overexposureIn } from './highlights/darkerFrames.ts';
import { planPictures } from './thumbnail.ts';
import type { MeasureMode } from './decoding/sampling.ts';

export interface MeasureOptions {
  /** What the file system calls it; bytes where the name is not UTF-8. */
  readonly file: string | Buffer;
  /** A small copy that the camera wrote of the same clip, by its name alone: it may be anything. */
  readonly lowResolutionCopy?: string | Buffer;
  readonly program: Program;
  readonly mode: MeasureMode;
  readonly limits: Pick<Limits, 'clippedFraction' | 'shutterAngleDegrees' | 'shutterToleranceStops'>;
  /** Measures the shutter from motion blur even where it was recorded. */
  readonly checkShutter?: boolean;
  /** Asks for small pictures of what is looked at. */
  readonly pictures?: boolean;
}

interface Measured {
  readonly measurement: Measurement;
  readonly pictures?: RecordingPictures;
  /** Another time it may go otherwise, though nothing has changed. */
  readonly transient?: boolean;
}

/** Measures the pictures of one recording. What cannot be measured at all is a HalfturnError. */
export async function measureRecording(recording: Recording, options: MeasureOptions): Promise<Measured> {
  const collector = options.pictures === true ? planPictures(recording.facts) : undefined;
  const media = await openMedia(options.file);
  try {
    const measured = await measurePictures(recording, { ...options, media }, collector);
    const { frames } = measured;
    const measurement = {
      ...measured,
      overexposure: overexposureIn(frames, {
        acceptedFraction: options.limits.clippedFraction,
        samples: recording.track?.samples,
      }),
    };
    // A page without small pictures is better than a recording without its measurement.
    const pictures = await collector?.result(recording.path, measured).catch((error: unknown) => {
      if (!(error instanceof HalfturnError)) throw error;
      return undefined;
    });
    return { measurement, pictures, transient: media.transient };
  } finally {
    await media.close();
  }
}

/** Fewer frames a second are pictures of other moments, as of a time-lapse, and no motion; common practice, no source. */
const leastFilmRate = 12;

/** Whether frames follow each other fast enough for one motion to blur them. */
export function isFilm({ frameRate }: Facts): boolean {
  return frameRate === undefined || framesPerSecond(frameRate.value) >= leastFilmRate;
}

function measurePictures(
  { kind, facts, track }: Recording,
  {
    media,
    program,
    mode,
    limits,
    checkShutter,
    lowResolutionCopy,
  }: MeasureOptions & { readonly media: OpenMedia },
  collector?: ReturnType<typeof planPictures>,
): Promise<Measurement> {
  if (kind === 'still') return measureStill(media, facts, collector?.pixels);
  return measureClip({
    program,
    media,
    facts,
    mode,
    clippedFlagFraction: limits.clippedFraction,
    lowResolutionCopy,
    track,
    shutterTarget:
      isFilm(facts) && (facts.exposureSeconds === undefined || checkShutter === true)
        ? { targetAngleDegrees: limits.shutterAngleDegrees, toleranceStops: limits.shutterToleranceStops }
        : undefined,
    onFrame: collector?.frame,
  });
}
