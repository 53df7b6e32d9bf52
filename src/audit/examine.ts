import { HalfturnError } from '../domain/halfturnError.ts';
import type { Measurement, RecordingPictures } from '../domain/measurement.ts';
import type { Facts, Note, Problem, Recording } from '../domain/recording.ts';
import { measureRecording, type MeasureOptions } from '../measuring/measure.ts';
import type { Program } from '../programs/run.ts';
import type { DumpEntry } from '../reading/dumpEntries.ts';
import { withoutName } from '../reading/openFile.ts';
import { readRecording } from '../reading/recordings.ts';

/** What is to be done with each file, apart from the file itself: all that the outcome can depend on. */
export interface Work {
  readonly ffprobe: Program;
  readonly ffmpeg: Program;
  readonly mode: 'off' | MeasureOptions['mode'];
  /** Those that measuring looks at, and no others. */
  readonly limits: MeasureOptions['limits'];
  readonly checkShutter: boolean;
  readonly pictures: boolean;
}

/** What came of looking at one file of the dump. */
export interface Examined {
  readonly recording?: Recording;
  readonly measurement?: Measurement;
  /** Set where the file turned out to be no recording. */
  readonly edited?: Note;
  readonly problems: readonly Problem[];
  /** Only where they were asked for. */
  readonly pictures?: RecordingPictures;
  /** Another time it may go otherwise, though nothing has changed. */
  readonly transient?: boolean;
}

/** A file that is to be examined. */
export interface Task {
  readonly entry: DumpEntry;
  readonly work: Work;
  /** What was read of it already. */
  readonly read?: Examined;
}

/**
 * Reads and measures one recording. Whatever goes wrong stays with this recording.
 *
 * @param room is awaited before so many bytes of a still are decoded
 */
export async function examine(
  { entry, work, read: before }: Task,
  room: (bytes: number) => Promise<void>,
): Promise<Examined> {
  const read = before ?? (await readOnly(entry, work));
  const { recording } = read;
  if (recording === undefined || work.mode === 'off') return read;
  if (recording.kind === 'still') await room(decodedBytes(recording.facts));
  const { ffmpeg: program, mode, limits, checkShutter, pictures } = work;
  const { file, lowResolutionCopy } = entry;
  const options = { file, lowResolutionCopy, program, mode, limits, checkShutter, pictures };
  try {
    const measured = await measureRecording(recording, options);
    const { reason = '', detail = '' } = measured.measurement.endedEarly ?? {};
    const transient = [read, measured].some((step) => step.transient) || lacksMemory(reason + detail);
    return { ...read, ...measured, transient };
  } catch (error) {
    const isExpected = error instanceof HalfturnError;
    return {
      ...read,
      problems: [...read.problems, unmeasured(entry, error)],
      transient:
        read.transient ||
        !isExpected ||
        error.transient ||
        lacksMemory(`${error.message} ${error.detail ?? ''}`),
    };
  }
}

async function readOnly(entry: DumpEntry, work: Work): Promise<Examined> {
  const { problem, ...read } = await readRecording(entry, work);
  return { ...read, problems: problem === undefined ? [] : [problem] };
}

/** Three channels of each pixel, as stills are decoded. */
function decodedBytes({ width, height, bitDepth }: Facts): number {
  return 3 * (width?.value ?? 0) * (height?.value ?? 0) * ((bitDepth?.value ?? 8) > 8 ? 2 : 1);
}

/** What a decoder without memory says; the next time there may be enough. */
function lacksMemory(says: string): boolean {
  return /memory|allocat/i.test(says);
}

function unmeasured({ path, file }: DumpEntry, error: unknown): Problem {
  if (error instanceof HalfturnError) {
    const { message: why, hint = '', detail } = error;
    const reason = withoutName(why, file);
    const message = `could not be measured, only read: ${reason === why ? why : `it ${reason}`}`;
    return { path, message, hint, detail };
  }
  const message = error instanceof Error ? error.message : String(error);
  return {
    path,
    message: `was read, but measuring its picture failed inside Halfturn (${message})`,
    hint: 'What was recorded still stands. Please report this with the file: it is a fault in Halfturn.',
  };
}
