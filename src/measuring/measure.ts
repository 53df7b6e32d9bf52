import { HalfturnError } from '../domain/halfturnError.ts';
import type { Limits } from '../domain/limits.ts';
import type { Measurement } from '../domain/measurement.ts';
import type { RecordingPictures } from '../domain/pictures.ts';
import type { Recording } from '../domain/recording.ts';
import type { Program } from '../programs/program.ts';
import { openMedia } from '../programs/openMedia.ts';
import { measureClip } from './measureClip.ts';
import { measureStill } from './measureStill.ts';
import { overexposureIn } from './highlights/overexposure.ts';
import { planPictures, type PictureCollector } from './pictureCollector.ts';
import type { MeasureMode } from './decoding/sampling.ts';

export interface MeasureOptions {
  /** What the file system calls it; bytes where the name is not UTF-8. */
  readonly file: string | Buffer;
  readonly program: Program;
  readonly mode: MeasureMode;
  readonly limits: Pick<Limits, 'clippedFraction' | 'shutterAngleDegrees' | 'shutterToleranceStops'>;
  /** Measures the shutter from motion blur even where it was recorded. */
  readonly checkShutter?: boolean;
  readonly signal?: AbortSignal;
  /** Receives small pictures of what was looked at. */
  readonly onPictures?: (pictures: RecordingPictures) => void;
}

/** Measures the pictures of one recording. What cannot be measured at all is a HalfturnError. */
export async function measureRecording(recording: Recording, options: MeasureOptions): Promise<Measurement> {
  const pictures = options.onPictures && planPictures(recording.facts);
  const pictured = await measurePictures(recording, options, pictures);
  const made = await pictures?.result(recording.path, pictured.ceiling).catch(noneWhereExpected);
  if (made !== undefined) options.onPictures?.(made);
  return { ...pictured, overexposure: overexposureIn(pictured.frames, options.limits.clippedFraction) };
}

/** A page without small pictures is better than a recording without its measurement. */
function noneWhereExpected(error: unknown): undefined {
  if (!(error instanceof HalfturnError)) throw error;
  return undefined;
}

async function measurePictures(
  { kind, facts, track }: Recording,
  { file, program, mode, limits, checkShutter, signal }: MeasureOptions,
  pictures?: PictureCollector,
): Promise<Measurement> {
  const media = await openMedia(file);
  try {
    if (kind === 'still') return await measureStill(media, facts, pictures?.pixels);
    return await measureClip({
      program,
      media,
      facts,
      mode,
      clippedFlagFraction: limits.clippedFraction,
      track,
      signal,
      shutterTarget:
        facts.exposureSeconds === undefined || checkShutter === true
          ? {
              targetAngleDegrees: limits.shutterAngleDegrees,
              toleranceStops: limits.shutterToleranceStops,
            }
          : undefined,
      onFrame: pictures?.frame,
    });
  } finally {
    await media.close();
  }
}
