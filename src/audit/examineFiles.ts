import { availableParallelism } from 'node:os';
import path from 'node:path';
import type { Cache } from '../cache/cache.ts';
import { codeVersion } from '../cache/codeVersion.ts';
import type { Note, Problem, Recording } from '../domain/recording.ts';
import { mapWithLimit } from '../programs/concurrency.ts';
import type { Program } from '../programs/run.ts';
import type { DumpEntry } from '../reading/dumpEntries.ts';
import { unchangedMark } from '../reading/identity.ts';
import { timelineLength } from '../report/buildDocument.ts';
import { evidenceOf, type OwnEvidence } from './evidence.ts';
import type { Examined, Work } from './examine.ts';
import type { AuditOptions } from './options.ts';
import { openWorkers, type Workers } from './workers.ts';

/** What came of all files, each in the order of the walk. */
interface ExaminedFiles {
  /** Of each recording that could be read. */
  readonly evidence: readonly OwnEvidence[];
  /** Files that turned out to be no recordings. */
  readonly edited: readonly Note[];
  readonly problems: readonly Problem[];
  /** How many of them were examined in an earlier audit. */
  readonly fromCache: number;
}

interface Tools {
  readonly programs: { readonly ffprobe: Program; readonly ffmpeg: Program };
  readonly cache: Cache | undefined;
}

/**
 * Has every file read, and then every picture measured, several at once, unless the cache tells what came of it. So what
 * was recorded is known of all of them long before the first picture is.
 */
export async function examineFiles(
  entries: readonly DumpEntry[],
  tools: Tools,
  options: ExamineOptions,
): Promise<ExaminedFiles> {
  const { workers: count = availableParallelism() } = options;
  const clips = entries.filter(({ kind }) => kind === 'clip').length;
  options.onStart?.({ clips, stills: entries.length - clips });
  const workers = openWorkers();
  const { read, measure, fromCache } = examination(entries, { ...tools, workers }, options);
  try {
    const afterReading = await mapWithLimit(entries, count, async (entry) => ({
      entry,
      end: await read(entry),
    }));
    const files = await mapWithLimit(afterReading, count, async ({ entry, end }) => end ?? measure(entry));
    return {
      evidence: files.flatMap(({ evidence }) => evidence ?? []),
      edited: files.flatMap(({ edited }) => edited ?? []),
      problems: files.flatMap(({ problems }) => problems),
      fromCache: fromCache(),
    };
  } finally {
    workers.end();
  }
}

type ExamineOptions = AuditOptions & Required<Pick<AuditOptions, 'limits' | 'measure'>>;

/** A recording that was read and whose picture waits to be measured. */
interface Waiting {
  readonly key: string | undefined;
  readonly pixels: number;
  readonly read: Examined | undefined;
}

/** What is done with each file: first it is read, and where that was not all it is measured. */
function examination(
  entries: readonly DumpEntry[],
  { programs, cache, workers }: Tools & { readonly workers: Workers },
  options: ExamineOptions,
) {
  const work = { ...programs, ...workOf(options) };
  const { limits } = options;
  const longestTimeline = timelineLength(entries.filter(({ kind }) => kind === 'clip').length);
  const waiting = new Map<DumpEntry, Waiting>();
  let done = 0;
  let fromCache = 0;
  let pixelsDone = 0;
  let pixelsInAll = 0;
  let samplesHeld = 0;

  const finish = ({ path: at }: DumpEntry, examined: Examined, isMeasured = false) => {
    const { recording, measurement, edited, problems, pictures } = examined;
    if (pictures !== undefined) options.onPictures?.(pictures);
    done += 1;
    options.onProgress?.({
      done,
      total: entries.length,
      path: at,
      clippedFraction: measurement?.clippedFraction.max,
      workFraction: isMeasured ? pixelsDone / pixelsInAll : undefined,
    });
    return {
      evidence: recording && evidenceOf({ recording, measurement }, { limits, longestTimeline }),
      edited,
      problems,
    };
  };

  const store = async (entry: DumpEntry, examined: Examined, key: string | undefined): Promise<void> => {
    if (key === undefined || examined.transient === true) return;
    // A file that changed while it was looked at has another key now.
    if ((await cacheKey(entry, work)) === key) await cache?.write(key, placedAt(nowhere, examined));
  };

  return {
    fromCache: () => fromCache,
    /** What came of it; nothing where its picture is still to be measured. */
    read: async (entry: DumpEntry) => {
      const key = cache && (await cacheKey(entry, work));
      const cached = key === undefined ? undefined : ((await cache?.read(key)) as Examined | undefined);
      const isCached = cached !== undefined;
      const read = isCached
        ? placedAt(entry, cached)
        : await workers.examine({ entry, work: { ...work, mode: 'off' } });
      if (read.recording !== undefined) options.onRead?.(read.recording);
      if (isCached) fromCache += 1;
      else if (read.recording === undefined || work.mode === 'off') await store(entry, read, key);
      else {
        const pixels = pixelsToMeasure(read.recording);
        pixelsInAll += pixels;
        const samples = read.recording.track?.samples.length ?? 0;
        const isHeld = samplesHeld + samples <= mostSamplesHeld;
        if (isHeld) samplesHeld += samples;
        waiting.set(entry, { key, pixels, read: isHeld ? read : undefined });
        return undefined;
      }
      return finish(entry, read);
    },
    measure: async (entry: DumpEntry) => {
      const { key, pixels, read } = waiting.get(entry)!;
      waiting.delete(entry);
      // A later audit may want small pictures: making them now costs a twentieth of measuring again for them.
      const pictures = work.pictures || key !== undefined;
      const examined = await workers.examine({ entry, work: { ...work, pictures }, read });
      await store(entry, examined, key);
      pixelsDone += pixels;
      return finish(entry, examined, true);
    },
  };
}

/**
 * Of the tracks of all recordings that wait, some 60 MB; what is more is read again when its turn comes. An hour of a clip
 * has a hundred thousand samples.
 */
const mostSamplesHeld = 200_000;

/** Pictures that are usually decoded of a clip: those of a first look, and what its pairs refer to. */
const picturesOfClip = 16;
/** What starting decoders costs, as pixels: measured beside decoding on one machine, so a rough weight and no more. */
const startingPixels = { clip: 10e6, still: 3e6 } as const;

/** How much there is to measure, in pixels. */
function pixelsToMeasure({ kind, facts: { width, height } }: Recording): number {
  const pixels = (width?.value ?? 0) * (height?.value ?? 0);
  return startingPixels[kind] + pixels * (kind === 'clip' ? picturesOfClip : 1);
}

function workOf({
  measure,
  limits,
  checkShutter,
  onPictures,
}: ExamineOptions): Omit<Work, 'ffprobe' | 'ffmpeg'> {
  // Nothing else of the limits reaches measuring, so another exposure window leaves all measurements as they are.
  const { clippedFraction, shutterAngleDegrees, shutterToleranceStops } = limits;
  return {
    mode: measure,
    limits: { clippedFraction, shutterAngleDegrees, shutterToleranceStops },
    checkShutter: checkShutter === true,
    pictures: onPictures !== undefined,
  };
}

/** Everything that the outcome rests on; undefined where it cannot be told whether the file is still the same. */
async function cacheKey(entry: DumpEntry, work: Work): Promise<string | undefined> {
  const mark = await unchangedMark(entry);
  if (mark === undefined) return undefined;
  // Pictures change nothing that is measured, and what is kept holds them.
  const { pictures: _, ...measuring } = work;
  // Elsewhere programs are given the file's own path and may repeat it in what they complain of.
  const place = process.platform === 'linux' ? '' : entry.file.toString('latin1');
  return JSON.stringify([
    codeVersion(),
    measuring,
    path.posix.basename(entry.path),
    entry.kind,
    entry.isBesideCard === true,
    place,
    mark,
  ]);
}

type Place = Pick<DumpEntry, 'path' | 'sidecars' | 'copies'>;

/** What is cached does not say where it lay: the same file may be met from its card, from its folder, or alone. */
const nowhere: Place = { path: '', sidecars: [] };

function placedAt(place: Place, { recording, edited, pictures, problems, ...others }: Examined): Examined {
  const { path: at } = place;
  return {
    ...others,
    recording: recording && recordingAt(place, recording),
    edited: edited && { ...edited, path: at },
    pictures: pictures && { ...pictures, path: at },
    problems: problems.map((problem) => ({ ...problem, path: at })),
  };
}

function recordingAt({ path: at, sidecars, copies }: Place, recording: Recording): Recording {
  return { ...recording, path: at, sidecars: sidecars.map((sidecar) => sidecar.path), copies };
}
