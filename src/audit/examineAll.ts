import { availableParallelism } from 'node:os';
import type { Limits } from '../domain/limits.ts';
import { defaultLimits } from '../judging/limits.ts';
import type { Program } from '../programs/locate.ts';
import type { DumpEntry } from '../reading/dump.ts';
import type { Memory } from '../remembering/memory.ts';
import { mapAtOnce } from './atOnce.ts';
import { examine, type Work } from './examine.ts';
import type { Examined } from './examined.ts';
import { examineOnce } from './examineOnce.ts';
import type { AuditOptions } from './options.ts';

interface Means {
  readonly ffprobe: Program;
  readonly ffmpeg: Program;
  readonly memory: Memory | undefined;
}

export interface AllExamined {
  readonly examined: readonly Examined[];
  /** How many of them were remembered from an earlier audit. */
  readonly remembered: number;
}

/** Reads and measures every file, several at once, and remembers what came of it. */
export async function examineAll(
  entries: readonly DumpEntry[],
  { memory, ...programs }: Means,
  options: AuditOptions,
): Promise<AllExamined> {
  const work = workOf(programs, options);
  let done = 0;
  let remembered = 0;
  const examined = await mapAtOnce(entries, options.atOnce ?? availableParallelism(), async (entry) => {
    const once = await (memory === undefined
      ? examine(entry, work).then((fresh) => ({ examined: fresh, isRemembered: false }))
      : examineOnce(entry, work, memory));
    if (once.isRemembered) remembered += 1;
    if (once.examined.pictures !== undefined) options.onPictures?.(once.examined.pictures);
    done += 1;
    options.onProgress?.({ done, total: entries.length, path: entry.path });
    return once.examined;
  });
  return { examined, remembered };
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
