import { realpath, stat } from 'node:fs/promises';
import { basename, dirname, resolve } from 'node:path';
import { displayText } from '../domain/displayText.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import type { Problem, RecordingKind } from '../domain/recording.ts';
import { besideCard, withoutCopies } from './copies.ts';
import { classifyName, nameKey, splitName } from './fileNames.ts';
import type { LeftAside } from './fileNames.ts';
import { looksLike } from './looksLike.ts';
import type { Look } from './looksLike.ts';
import { compareNames, displayPath, listFiles, walk } from './walk.ts';
import type { Walk, WalkedFile } from './walk.ts';

export interface Sidecar {
  readonly type: 'srt' | 'xmp';
  /** For people, relative to the dump. */
  readonly path: string;
  readonly file: Buffer;
}

/** A clip or still in the dump, recognised by its name and by its first bytes. */
export interface DumpEntry {
  /** For people, relative to the dump. */
  readonly path: string;
  readonly file: Buffer;
  readonly kind: RecordingKind;
  readonly sizeBytes: number;
  readonly sidecars: readonly Sidecar[];
  readonly fingerprint?: string;
  /** Paths of copies, which are no entries of their own. */
  readonly copies?: readonly string[];
  /** Set where the dump holds a camera's own folders, and this lies outside them or under a name of another kind. */
  readonly isBesideCard?: true;
}

export interface Dump {
  readonly entries: readonly DumpEntry[];
  readonly problems: readonly Problem[];
  readonly leftAside: Readonly<Partial<Record<LeftAside, number>>>;
}

const recognised = 'mp4, mov, m4v, mkv, webm, mts, m2ts, ts, mxf, avi; jpg, tif, dng, heic, avif, png, webp';

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
  const dump = await assemble(walked);
  if (dump.entries.length > 0 || dump.problems.length > 0) return dump;
  throw new HalfturnError(
    `${displayText(path)} holds no clips or stills`,
    `Name the folder that the card was copied to. Files that are recognised: ${recognised}.`,
  );
}

async function readSingleFile(path: string, file: string): Promise<Dump> {
  const name = Buffer.from(basename(file));
  if (!['clip', 'still'].includes(classifyName(nameKey(name)).is)) {
    throw new HalfturnError(
      `${displayText(path)} is not a clip or still that Halfturn knows`,
      `Files that are recognised: ${recognised}.`,
    );
  }
  const stem = splitName(nameKey(name)).stem;
  const files = await listFiles(Buffer.from(dirname(resolve(file))));
  const beside = files.filter(({ names: [other] }) => isSidecarOf(nameKey(other!), stem));
  const itself: WalkedFile = { names: [name], file: Buffer.from(file), what: 'file' };
  const dump = await assemble({ files: [itself, ...beside], problems: [], foldersLeftAside: [] });
  return { ...dump, leftAside: {} };
}

function isSidecarOf(key: string, stem: string): boolean {
  return classifyName(key).is === 'sidecar' && key.startsWith(stem);
}

async function assemble(walked: Walk): Promise<Dump> {
  const counts = new Map<LeftAside, number>();
  const leave = (reason: LeftAside): void => void counts.set(reason, (counts.get(reason) ?? 0) + 1);
  walked.foldersLeftAside.forEach(leave);
  const problems = [...walked.problems];
  const found: Found[] = [];
  const sidecars: { walked: WalkedFile; type: 'srt' | 'xmp' }[] = [];
  const looks = await lookAtAll(walked.files);
  for (const file of walked.files) {
    const named = classifyName(nameKey(file.names.at(-1)!));
    if (named.is === 'left-aside')
      leave(named.reason === 'other' && file.what === 'link' ? 'links' : named.reason);
    else if (named.is === 'sidecar') {
      if (file.what === 'file') sidecars.push({ walked: file, type: named.type });
      else leave(file.what === 'link' ? 'links' : 'other');
    } else {
      const looked = looks.get(file)!;
      if ('sizeBytes' in looked) found.push({ walked: file, kind: named.is, ...looked });
      else if ('leftAside' in looked) leave(looked.leftAside);
      else problems.push(looked);
    }
  }
  const kept = withoutProxies(found);
  for (let left = found.length - kept.length; left > 0; left -= 1) leave('proxies');
  const { entries: paired, unpaired } = pair(kept, sidecars);
  const entries = withoutCopies(paired);
  for (let left = paired.length - entries.length; left > 0; left -= 1) leave('duplicates');
  for (let left = unpaired; left > 0; left -= 1) leave('unpaired-sidecars');
  problems.sort((a, b) => Buffer.compare(Buffer.from(a.path), Buffer.from(b.path)));
  return { entries: entries.map(besideCard(entries)), problems, leftAside: Object.fromEntries(counts) };
}

// Opening a file waits for the disk, and a card holds thousands; each takes a descriptor for as long.
const openAtOnce = 16;

/** What each file that its name makes a clip or still is by its first bytes. */
async function lookAtAll(files: readonly WalkedFile[]): Promise<ReadonlyMap<WalkedFile, Look>> {
  const looks = new Map<WalkedFile, Look>();
  const waiting = files.values();
  const look = async (): Promise<void> => {
    for (const file of waiting) {
      const { is } = classifyName(nameKey(file.names.at(-1)!));
      if (is === 'clip' || is === 'still') looks.set(file, await looksLike(file, is));
    }
  };
  await Promise.all(Array.from({ length: openAtOnce }, look));
  return looks;
}

interface Found {
  readonly walked: WalkedFile;
  readonly kind: RecordingKind;
  readonly sizeBytes: number;
  readonly fingerprint: string;
}

// A clip with the same name beside one at least this much larger is its low-resolution copy (common practice of
// recorders, no source).
const proxySizeRatio = 5;

function withoutProxies(found: readonly Found[]): readonly Found[] {
  const largest = new Map<string, number>();
  for (const one of found.filter(({ kind }) => kind === 'clip')) {
    const key = placeAndStem(one.walked);
    largest.set(key, Math.max(largest.get(key) ?? 0, one.sizeBytes));
  }
  return found.filter(
    (one) => one.kind !== 'clip' || one.sizeBytes * proxySizeRatio > largest.get(placeAndStem(one.walked))!,
  );
}

function pair(
  found: readonly Found[],
  sidecars: readonly { readonly walked: WalkedFile; readonly type: 'srt' | 'xmp' }[],
): { readonly entries: readonly DumpEntry[]; readonly unpaired: number } {
  const byKey = new Map<string, Sidecar[]>();
  for (const { walked, type } of sidecars) {
    const key = placeAndStem(walked);
    const sidecar = { type, path: displayPath(walked.names), file: walked.file };
    byKey.set(key, [...(byKey.get(key) ?? []), sidecar]);
  }
  const used = new Set<Sidecar>();
  const entries = [...found]
    .sort((a, b) => compareNames(a.walked.names, b.walked.names))
    .map(({ walked, kind, sizeBytes, fingerprint }) => {
      const own = [placeAndStem(walked), place(walked, nameKey(walked.names.at(-1)!))]
        .flatMap((key) => byKey.get(key) ?? [])
        .filter(({ type }) => type === 'xmp' || kind === 'clip');
      own.forEach((sidecar) => used.add(sidecar));
      const path = displayPath(walked.names);
      return { path, file: walked.file, kind, sizeBytes, fingerprint, sidecars: own };
    });
  return { entries, unpaired: sidecars.length - used.size };
}

function placeAndStem(walked: WalkedFile): string {
  return place(walked, splitName(nameKey(walked.names.at(-1)!)).stem);
}

function place(walked: WalkedFile, name: string): string {
  return [...walked.names.slice(0, -1).map((folder) => folder.toString('latin1')), name].join('/');
}

function noSuchDump(path: string, error: NodeJS.ErrnoException): HalfturnError {
  const shown = displayText(path);
  if (error.code === 'EACCES') {
    return new HalfturnError(`${shown} may not be read by this user`, 'Give yourself permission to read it.');
  }
  if (error.code === 'ELOOP')
    return new HalfturnError(`${shown} is a link that leads to itself`, 'Name the real folder.');
  return new HalfturnError(
    `There is no folder or file ${shown}`,
    'Check the spelling, and that the card is mounted.',
  );
}
