import { watchForChance } from '../programs/chance.ts';
import type { DumpEntry } from '../reading/dumpEntry.ts';
import { unchangedMark } from '../reading/identity.ts';
import type { Memory } from '../remembering/memory.ts';
import { codeVersion } from './codeVersion.ts';
import { examine, type Work } from './examine.ts';
import type { Examined } from './examined.ts';

interface Once {
  readonly examined: Examined;
  readonly isRemembered: boolean;
}

/** Examines a file, or recalls what came of it when nothing that it rests on has changed since. */
export async function examineOnce(entry: DumpEntry, work: Work, memory: Memory): Promise<Once> {
  const key = await keyOf(entry, work);
  if (key === undefined) return { examined: await examine(entry, work), isRemembered: false };
  const known = (await memory.recall(key)) as Examined | undefined;
  if (known !== undefined && isEnough(known, work))
    return { examined: atPlace(known, entry), isRemembered: true };
  const { result, byChance } = await watchForChance(() => examine(entry, work));
  // A file that changed while it was looked at has another key now.
  if (!byChance && (await keyOf(entry, work)) === key) await memory.keep(key, withoutPlace(result));
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
    entry.path,
    entry.kind,
    entry.isBesideCard === true,
    place,
    mark,
  ]);
}

function isEnough({ measurement, pictures }: Examined, work: Work): boolean {
  return !work.pictures || measurement === undefined || pictures !== undefined;
}

/** Without what says where it lay: the same recording may stand in another folder, or beside other copies. */
function withoutPlace({ recording, ...rest }: Examined): Examined {
  if (recording === undefined) return rest;
  const { copies: _, ...own } = recording;
  return { ...rest, recording: { ...own, file: '' } };
}

function atPlace({ recording, ...rest }: Examined, { file, copies }: DumpEntry): Examined {
  if (recording === undefined) return rest;
  return { ...rest, recording: { ...recording, file, ...(copies === undefined ? {} : { copies }) } };
}
