import { realpath, stat } from 'node:fs/promises';
import { basename, dirname, resolve } from 'node:path';
import { displayText } from '../domain/displayText.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import type { Problem } from '../domain/recording.ts';
import { mapWithLimit } from '../programs/concurrency.ts';
import { pairedEntries, type DumpEntry } from './dumpEntries.ts';
import {
  classifyName,
  copiedStem,
  dcfName,
  nameParts,
  recognisedEndings,
  type LeftAside,
} from './fileNames.ts';
import { withoutCopies } from './identity.ts';
import { recognise } from './sniff.ts';
import { listFiles, walk, type WalkedFile } from './walk.ts';

interface Dump {
  readonly entries: readonly DumpEntry[];
  readonly problems: readonly Problem[];
  readonly leftAside: Readonly<Partial<Record<LeftAside, number>>>;
  /** Set where one file was named: what lies beside it is another matter. */
  readonly isOneFile?: true;
}

/** Walks a card dump, or takes one file of it, and says what of it can be audited. */
export async function readDump(path: string): Promise<Dump> {
  const root = await realpath(path).catch((error: NodeJS.ErrnoException) => {
    throw noSuchDump(path, error);
  });
  const stats = await stat(root);
  if (stats.isDirectory()) return readFolder(path, root);
  if (stats.isFile()) return readSingleFile(path, root);
  throw new HalfturnError(
    `${displayText(path)} is neither a folder nor a file`,
    'Name the folder of the card.',
  );
}

async function readFolder(path: string, root: string): Promise<Dump> {
  const walked = await walk(Buffer.from(root));
  const [problem] = walked.problems;
  if (problem?.path === '') throw new HalfturnError(`${displayText(path)}: ${problem.message}`, problem.hint);
  const dump = await dumpOf(walked);
  if (dump.entries.length > 0 || dump.problems.length > 0) return dump;
  throw new HalfturnError(
    `${displayText(path)} holds no clips or stills`,
    `Name the folder that the card was copied to. Files that are recognised: ${recognisedEndings}.`,
  );
}

async function readSingleFile(path: string, file: string): Promise<Dump> {
  const name = Buffer.from(basename(file));
  if (!['clip', 'still'].includes(classifyName(name).is))
    throw new HalfturnError(
      `${displayText(path)} is not a clip or still that Halfturn knows`,
      `Files that are recognised: ${recognisedEndings}.`,
    );
  const { stem } = nameParts(name);
  const beside = await listFiles(Buffer.from(dirname(resolve(file))));
  const sidecars = beside.files.filter(
    ({ names: [other] }) => classifyName(other!).is === 'sidecar' && nameParts(other!).key.startsWith(stem),
  );
  const itself: WalkedFile = { names: [name], file: Buffer.from(file), what: 'file' };
  const others = { problems: [], foldersLeftAside: [], copies: beside.copies };
  const dump = await dumpOf({ ...others, files: [itself, ...sidecars] });
  // Whose copy a file is shows only among all of that name; none of them is audited.
  const sameName = beside.files.filter(({ names: [other] }) =>
    [nameParts(other!).stem, copiedStem(other!, false)].includes(stem),
  );
  const all = await dumpOf({ ...others, files: sameName });
  const { lowResolutionCopy } = all.entries.find((entry) => entry.file.equals(itself.file)) ?? {};
  const entries = dump.entries.map((entry) => ({ ...entry, lowResolutionCopy }));
  return { ...dump, entries, leftAside: {}, isOneFile: true };
}

function noSuchDump(path: string, error: NodeJS.ErrnoException): HalfturnError {
  const shown = displayText(path);
  if (error.code === 'EACCES')
    return new HalfturnError(`${shown} may not be read by this user`, 'Give yourself permission to read it.');
  if (error.code === 'ELOOP')
    return new HalfturnError(`${shown} is a link that leads to itself`, 'Name the real folder.');
  return new HalfturnError(
    `There is no folder or file ${shown}`,
    'Check the spelling, and that the card is mounted.',
  );
}

async function dumpOf(walked: Awaited<ReturnType<typeof walk>>): Promise<Dump> {
  const classified = await mapWithLimit(walked.files, openAtOnce, classifiedFile);
  const paired = pairedEntries(
    classified.flatMap(({ recording }) => recording ?? []),
    classified.flatMap(({ sidecar }) => sidecar ?? []),
    [...walked.files, ...walked.copies],
  );
  const entries = await withoutCopies(paired.entries);
  const leftAside: Partial<Record<LeftAside, number>> = {};
  const count = (reason: LeftAside, times: number): void => {
    if (times > 0) leftAside[reason] = (leftAside[reason] ?? 0) + times;
  };
  for (const reason of walked.foldersLeftAside) count(reason, 1);
  for (const file of classified) if (file.leftAside !== undefined) count(file.leftAside, 1);
  count('proxies', paired.proxies);
  count('duplicates', paired.entries.length - entries.length);
  count('unpaired-sidecars', paired.unpaired);
  return {
    entries: markedBesideCard(entries),
    problems: [...walked.problems, ...classified.flatMap(({ problem }) => problem ?? [])],
    leftAside,
  };
}

// Opening a file waits for the disk, and a card holds thousands; each takes a descriptor for as long.
const openAtOnce = 16;

/** What became of one file: exactly one of these. */
interface ClassifiedFile {
  readonly recording?: Parameters<typeof pairedEntries>[0][number];
  readonly sidecar?: Parameters<typeof pairedEntries>[1][number];
  readonly leftAside?: LeftAside;
  readonly problem?: Problem;
}

async function classifiedFile(walked: WalkedFile): Promise<ClassifiedFile> {
  const named = classifyName(walked.names.at(-1)!);
  const isLink = walked.what === 'link';
  if (named.is === 'left-aside')
    return { leftAside: named.reason === 'other' && isLink ? 'links' : named.reason };
  if (named.is === 'sidecar') {
    if (walked.what === 'file') return { sidecar: { walked, type: named.type } };
    return { leftAside: isLink ? 'links' : 'other' };
  }
  const recognised = await recognise(walked, named.is);
  if ('sizeBytes' in recognised) return { recording: { walked, kind: named.is, ...recognised } };
  return 'leftAside' in recognised ? recognised : { problem: recognised };
}

/** Marks what lies in a dump with a camera's folders without being one of the camera's files. */
function markedBesideCard(entries: readonly DumpEntry[]): readonly DumpEntry[] {
  if (!entries.some(({ path }) => isOnCard(path))) return entries;
  return entries.map((entry) => (isOnCard(entry.path) ? entry : { ...entry, isBesideCard: true }));
}

// CIPA DC-009: the folders of cameras lie in one called DCIM.
function isOnCard(path: string): boolean {
  return /(?:^|\/)DCIM\//i.test(path) && dcfName(path) !== undefined;
}
