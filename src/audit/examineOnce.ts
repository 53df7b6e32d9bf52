import path from 'node:path';
import type { Recording } from '../domain/recording.ts';
import { watchForChance } from '../programs/chance.ts';
import type { DumpEntry } from '../reading/dumpEntries.ts';
import { unchangedMark } from '../reading/identity.ts';
import type { Memory } from '../cache/memory.ts';
import { codeVersion } from './codeVersion.ts';
import type { Work } from './examine.ts';
import type { Examined } from './examined.ts';
import type { Examiner } from './examiner.ts';

interface Once {
  readonly examined: Examined;
  readonly isRemembered: boolean;
}

/** Examines a file, or recalls what came of it when nothing that it rests on has changed since. */
export async function examineOnce(
  entry: DumpEntry,
  work: Work,
  { examine, memory }: Pick<Examiner, 'examine'> & { readonly memory: Memory | undefined },
): Promise<Once> {
  if (memory === undefined) return { examined: await examine(entry, work), isRemembered: false };
  const key = await keyOf(entry, work);
  if (key === undefined) return { examined: await examine(entry, work), isRemembered: false };
  const known = (await memory.recall(key)) as Examined | undefined;
  if (known !== undefined && isEnough(known, work))
    return { examined: placedAt(entry, known), isRemembered: true };
  const { result, byChance } = await watchForChance(() => examine(entry, work));
  // A file that changed while it was looked at has another key now.
  if (!byChance && (await keyOf(entry, work)) === key) await memory.keep(key, placedAt(nowhere, result));
  return { examined: result, isRemembered: false };
}

/** Everything that the outcome rests on; undefined where it cannot be told whether the file is still the same. */
async function keyOf(entry: DumpEntry, work: Work): Promise<string | undefined> {
  const mark = await unchangedMark(entry);
  if (mark === undefined) return undefined;
  // Pictures change nothing that is measured; whether they are there is seen when they are wanted.
  const { pictures: _, ...rest } = work;
  // Elsewhere programs are given the file's own path and may repeat it in what they complain of.
  const place = process.platform === 'linux' ? '' : entry.file.toString('latin1');
  return JSON.stringify([
    codeVersion(),
    rest,
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

/** What is kept does not say where it lay: the same file may be met from its card, from its folder, or alone. */
const nowhere: Place = { path: '', sidecars: [] };

function placedAt(place: Place, { recording, edited, pictures, problems, ...rest }: Examined): Examined {
  const { path: at } = place;
  return {
    ...rest,
    ...(recording && { recording: recordingAt(place, recording) }),
    ...(edited && { edited: { ...edited, path: at } }),
    ...(pictures && { pictures: { ...pictures, path: at } }),
    problems: problems.map((problem) => ({ ...problem, path: at })),
  };
}

function recordingAt({ path: at, sidecars, copies }: Place, recording: Recording): Recording {
  const { copies: _, ...own } = recording;
  return {
    ...own,
    path: at,
    sidecars: sidecars.map((sidecar) => sidecar.path),
    ...(copies && { copies }),
  };
}
