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

/** Has every file read and measured, several at once, unless the cache tells what came of it. */
export async function examineFiles(
  entries: readonly DumpEntry[],
  { programs, cache }: Tools,
  options: AuditOptions & Required<Pick<AuditOptions, 'limits' | 'measure'>>,
): Promise<ExaminedFiles> {
  const { limits, workers: count = availableParallelism() } = options;
  const work = { ...programs, ...workOf(options) };
  const longestTimeline = timelineLength(entries.filter(({ kind }) => kind === 'clip').length);
  const workers = openWorkers();
  let done = 0;
  let fromCache = 0;
  const files = await mapWithLimit(entries, count, async (entry) => {
    const { examined, isFromCache } = await examinedOnce(entry, work, { workers, cache });
    if (isFromCache) fromCache += 1;
    const { recording, measurement, edited, problems, pictures } = examined;
    if (pictures !== undefined) options.onPictures?.(pictures);
    done += 1;
    options.onProgress?.({ done, total: entries.length, path: entry.path });
    return {
      evidence: recording && evidenceOf({ recording, measurement }, { limits, longestTimeline }),
      edited,
      problems,
    };
  }).finally(workers.end);
  return {
    evidence: files.flatMap(({ evidence }) => evidence ?? []),
    edited: files.flatMap(({ edited }) => edited ?? []),
    problems: files.flatMap(({ problems }) => problems),
    fromCache,
  };
}

function workOf({
  measure,
  limits,
  checkShutter,
  onPictures,
}: Parameters<typeof examineFiles>[2]): Omit<Work, 'ffprobe' | 'ffmpeg'> {
  // Nothing else of the limits reaches measuring, so another exposure window leaves all measurements as they are.
  const { clippedFraction, shutterAngleDegrees, shutterToleranceStops } = limits;
  return {
    mode: measure,
    limits: { clippedFraction, shutterAngleDegrees, shutterToleranceStops },
    checkShutter: checkShutter === true,
    pictures: onPictures !== undefined,
  };
}

/** Examines a file, or takes what came of it from the cache when nothing that it rests on has changed since. */
async function examinedOnce(
  entry: DumpEntry,
  work: Work,
  { workers, cache }: { readonly workers: Workers; readonly cache: Cache | undefined },
): Promise<{ readonly examined: Examined; readonly isFromCache: boolean }> {
  const key = cache && (await cacheKey(entry, work));
  if (cache === undefined || key === undefined)
    return { examined: await workers.examine(entry, work), isFromCache: false };
  const cached = (await cache.read(key)) as Examined | undefined;
  if (cached !== undefined && isEnough(cached, work))
    return { examined: placedAt(entry, cached), isFromCache: true };
  const examined = await workers.examine(entry, work);
  // A file that changed while it was looked at has another key now.
  if (examined.transient !== true && (await cacheKey(entry, work)) === key)
    await cache.write(key, placedAt(nowhere, examined));
  return { examined, isFromCache: false };
}

/** Everything that the outcome rests on; undefined where it cannot be told whether the file is still the same. */
async function cacheKey(entry: DumpEntry, work: Work): Promise<string | undefined> {
  const mark = await unchangedMark(entry);
  if (mark === undefined) return undefined;
  // Pictures change nothing that is measured; whether they are there is seen when they are wanted.
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

function isEnough({ measurement, pictures }: Examined, work: Work): boolean {
  return !work.pictures || measurement === undefined || pictures !== undefined;
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
