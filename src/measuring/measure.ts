import type { Limits } from '../domain/limits.ts';
import type { Measurement } from '../domain/measurement.ts';
import type { Recording } from '../domain/recording.ts';
import type { Program } from '../programs/locate.ts';
import { openMedia } from '../programs/openMedia.ts';
import { measureClip } from './measureClip.ts';
import { measureStill } from './measureStill.ts';
import type { MeasureMode } from './sampling.ts';

export interface MeasureOptions {
  readonly program: Program;
  readonly mode: MeasureMode;
  readonly limits: Pick<Limits, 'clippedFraction'>;
  readonly signal?: AbortSignal;
}

/** Measures the pictures of one recording. What cannot be measured at all is a HalfturnError. */
export async function measureRecording(
  { file, kind, facts }: Recording,
  { program, mode, limits, signal }: MeasureOptions,
): Promise<Measurement> {
  const media = await openMedia(file);
  try {
    if (kind === 'still') return await measureStill(media, facts);
    return await measureClip({
      program,
      media,
      facts,
      mode,
      clippedFlagFraction: limits.clippedFraction,
      ...(signal === undefined ? {} : { signal }),
    });
  } finally {
    await media.close();
  }
}
