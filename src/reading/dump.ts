import { realpath, stat } from 'node:fs/promises';
import { basename, dirname, resolve } from 'node:path';
import { displayText } from '../domain/displayText.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import { dumpOf, type Dump } from './dumpOf.ts';
import { classifyName, nameKey, splitName } from './fileNames.ts';
import { listFiles, walk, type WalkedFile } from './walk.ts';

const recognised =
  'mp4, mov, m4v, mkv, webm, mts, m2ts, ts, mxf, avi, cine; jpg, tif, dng, heic, avif, png, webp';

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
  const dump = await dumpOf({ files: [itself, ...beside], problems: [], foldersLeftAside: [] });
  return { ...dump, leftAside: {}, isOneFile: true };
}

function isSidecarOf(key: string, stem: string): boolean {
  return classifyName(key).is === 'sidecar' && key.startsWith(stem);
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
