import { HalfturnError } from '../domain/halfturnError.ts';
import type { RecordingPictures } from '../domain/pictures.ts';
import type { Problem, Recording } from '../domain/recording.ts';
import type { MeasureOptions } from '../measuring/measure.ts';
import { noteChance } from '../programs/chance.ts';
import type { Program } from '../programs/program.ts';
import type { DumpEntry } from '../reading/dumpEntries.ts';
import { withoutName } from '../reading/openFile.ts';
import type { Examined } from './examined.ts';

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

/** Reads and measures one recording. Whatever goes wrong stays with this recording. */
export async function examine(entry: DumpEntry, work: Work): Promise<Examined> {
  // Loaded where they are needed: an audit that remembers everything starts sooner without them.
  const { readRecording } = await import('../reading/recordings.ts');
  const { recording, problem, edited } = await readRecording(entry, work);
  const problems = problem === undefined ? [] : [problem];
  if (edited !== undefined) return { edited, problems };
  if (recording === undefined || work.mode === 'off') return { recording, problems };
  return measured({ recording, problems }, { ...work, file: entry.file, mode: work.mode });
}

interface ToMeasure {
  readonly recording: Recording;
  readonly problems: readonly Problem[];
}

async function measured(
  { recording, problems }: ToMeasure,
  {
    ffmpeg: program,
    file,
    mode,
    limits,
    checkShutter,
    pictures: wanted,
  }: Work & Pick<MeasureOptions, 'file' | 'mode'>,
): Promise<Examined> {
  const { measureRecording } = await import('../measuring/measure.ts');
  let pictures: RecordingPictures | undefined;
  const onPictures = (made: RecordingPictures): void => void (pictures = made);
  try {
    const measurement = await measureRecording(recording, {
      file,
      program,
      mode,
      limits,
      checkShutter,
      onPictures: wanted ? onPictures : undefined,
    });
    const { reason = '', detail = '' } = measurement.endedEarly ?? {};
    if (isByChance(reason) || isByChance(detail)) noteChance();
    return { recording, measurement, problems, pictures };
  } catch (error) {
    if (!(error instanceof HalfturnError) || isByChance(`${error.message} ${error.detail}`)) noteChance();
    return { recording, problems: [...problems, unmeasured(recording.path, file, error)] };
  }
}

/** What a decoder without memory says; the next time there may be enough. */
function isByChance(reason: string): boolean {
  return /memory|allocat/i.test(reason);
}

function unmeasured(path: string, file: string | Buffer, error: unknown): Problem {
  if (error instanceof HalfturnError) {
    const { message: why, hint = '', detail } = error;
    const rest = withoutName(why, file);
    const message = `could not be measured, only read: ${rest === why ? why : `it ${rest}`}`;
    return { path, message, hint, detail };
  }
  const message = error instanceof Error ? error.message : String(error);
  return {
    path,
    message: `was read, but measuring its picture failed inside Halfturn (${message})`,
    hint: 'What was recorded still stands. Please report this with the file: it is a fault in Halfturn.',
  };
}
