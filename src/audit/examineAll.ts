import { availableParallelism } from 'node:os';
import type { Limits } from '../domain/limits.ts';
import { defaultLimits } from '../judging/limits.ts';
import { mapAtOnce } from '../programs/atOnce.ts';
import type { Program } from '../programs/program.ts';
import type { DumpEntry } from '../reading/dumpEntry.ts';
import type { Memory } from '../remembering/memory.ts';
import { timelineLength } from '../reporting/trackDocument.ts';
import { examine, type Work } from './examine.ts';
import { concludeAlone } from './concludeAlone.ts';
import type { ConcludedAlone, Examined } from './examined.ts';
import { examineOnce } from './examineOnce.ts';
import type { AuditOptions } from './options.ts';

interface Means {
  readonly ffprobe: Program;
  readonly ffmpeg: Program;
  readonly memory: Memory | undefined;
}

export interface AllExamined {
  readonly concluded: readonly ConcludedAlone[];
  /** How many of them were remembered from an earlier audit. */
  readonly remembered: number;
}

/** Reads and measures every file, several at once, remembers what came of it, and keeps what the others need of it. */
export async function examineAll(
  entries: readonly DumpEntry[],
  { memory, ...programs }: Means,
  options: AuditOptions,
): Promise<AllExamined> {
  const work = workOf(programs, options);
  const given = {
    limits: options.limits ?? defaultLimits,
    longestTimeline: timelineLength(entries.filter(({ kind }) => kind === 'clip').length),
  };
  let done = 0;
  let remembered = 0;
  const concluded = await mapAtOnce(entries, options.atOnce ?? availableParallelism(), async (entry) => {
    const once = await (memory === undefined
      ? examine(entry, work).then((fresh) => ({ examined: fresh, isRemembered: false }))
      : examineOnce(entry, work, memory));
    if (once.isRemembered) remembered += 1;
    if (once.examined.pictures !== undefined) options.onPictures?.(once.examined.pictures);
    done += 1;
    options.onProgress?.({ done, total: entries.length, path: entry.path });
    return aloneOf(once.examined, given);
  });
  return { concluded, remembered };
}

function aloneOf(
  { recording, measurement, problems, edited }: Examined,
  given: Parameters<typeof concludeAlone>[1],
): ConcludedAlone {
  return {
    ...(recording && { alone: concludeAlone({ recording, measurement }, given) }),
    ...(edited && { edited }),
    problems,
  };
}

function workOf(programs: Pick<Work, 'ffprobe' | 'ffmpeg'>, options: AuditOptions): Work {
  return {
    ...programs,
    mode: options.measure ?? 'sampled',
    limits: measuringLimits(options.limits ?? defaultLimits),
    checkShutter: options.checkShutter === true,
    pictures: options.onPictures !== undefined,
  };
}

/** Nothing else of the settings reaches measuring, so another exposure window leaves all measurements as they are. */
function measuringLimits(limits: Limits): Work['limits'] {
  const { clippedFraction, shutterAngleDegrees, shutterToleranceStops } = limits;
  return { clippedFraction, shutterAngleDegrees, shutterToleranceStops };
}
