import { availableParallelism } from 'node:os';
import { defaultLimits, type Limits } from '../domain/limits.ts';

import { mapAtOnce } from '../programs/atOnce.ts';
import type { Program } from '../programs/program.ts';
import type { DumpEntry } from '../reading/dumpEntries.ts';
import type { Memory } from '../cache/memory.ts';
import type { ScratchFile } from '../cache/scratchFile.ts';
import { timelineLength } from '../report/buildRecording.ts';
import type { Work } from './examine.ts';
import { concludeAlone, type Alone } from './concludeAlone.ts';
import type { AloneAside, ConcludedAlone, Examined } from './examined.ts';
import { examineOnce } from './examineOnce.ts';
import type { Examiner } from './examiner.ts';
import type { AuditOptions } from './options.ts';

interface Means {
  readonly ffprobe: Program;
  readonly ffmpeg: Program;
  readonly memory: Memory | undefined;
  readonly examiner: Examiner;
  /** Holds what came of each file until the last one is read, and must be there for as long as that is asked for. */
  readonly scratch: ScratchFile;
}

export interface AllExamined {
  readonly concluded: readonly ConcludedAlone[];
  /** How many of them were remembered from an earlier audit. */
  readonly remembered: number;
}

/** Reads and measures every file, several at once, remembers what came of it, and keeps what the others need of it. */
export async function examineAll(
  entries: readonly DumpEntry[],
  { memory, examiner, scratch, ...programs }: Means,
  options: AuditOptions,
): Promise<AllExamined> {
  const work = workOf(programs, options);
  const given = {
    limits: options.limits ?? defaultLimits,
    longestTimeline: timelineLength(entries.filter(({ kind }) => kind === 'clip').length),
  };
  let done = 0;
  let remembered = 0;
  const kept = await mapAtOnce(entries, options.atOnce ?? availableParallelism(), async (entry) => {
    const { examined, isRemembered } = await examineOnce(entry, work, { memory, examine: examiner.examine });
    if (isRemembered) remembered += 1;
    if (examined.pictures !== undefined) options.onPictures?.(examined.pictures);
    done += 1;
    options.onProgress?.({ done, total: entries.length, path: entry.path });
    return asideOf(examined, { ...given, scratch });
  }).finally(examiner.finish);
  return { concluded: kept.map((one) => one()), remembered };
}

function asideOf(
  { recording, measurement, problems, edited }: Examined,
  { scratch, ...given }: Parameters<typeof concludeAlone>[1] & Pick<Means, 'scratch'>,
): () => ConcludedAlone {
  const rest = { edited, problems };
  if (recording === undefined) return scratch.keep(rest);
  const alone = concludeAlone({ recording, measurement }, given);
  const { recording: own, offset, isSteady } = alone;
  return withWhole(
    scratch.keep({ ...rest, alone: { recording: own, offset, isSteady } }),
    scratch.keep(alone),
  );
}

/** In a function of its own, which holds on to nothing else. */
function withWhole(
  kept: () => Omit<ConcludedAlone, 'alone'> & { readonly alone: Omit<AloneAside, 'whole'> },
  whole: () => Alone,
): () => ConcludedAlone {
  return () => {
    const { alone, ...rest } = kept();
    return { ...rest, alone: { ...alone, whole } };
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
