import { randomUUID } from 'node:crypto';
import { mkdirSync, rmdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { realpath, rename, rm, stat, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import envPaths from 'env-paths';
import type { CacheUse } from '../audit/options.ts';
import { cacheSize } from '../cache/cache.ts';
import { displayText } from '../domain/displayText.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import { fileTrouble } from '../programs/fileTrouble.ts';

/** The dump is never written to, not even when asked. */
export async function refuseOutputInsideDump(
  folder: string,
  dump: string,
  flag: '--out' | '--logbook' = '--out',
): Promise<void> {
  if (await liesInDump(folder, dump))
    throw new HalfturnError(
      `"${displayText(folder)}" lies inside the dump, and Halfturn never writes there.`,
      `Choose a folder outside it for ${flag}.`,
    );
}

/** Said before minutes of measuring, not after them. */
export async function refuseFileAsFolder(folder: string): Promise<void> {
  const entry = await stat(folder).catch(() => undefined);
  if (entry === undefined || entry.isDirectory()) return;
  throw new HalfturnError(
    `"${displayText(folder)}" is a file, and a report is a folder of files.`,
    'Name another folder for --out.',
  );
}

/** Whether a folder, which need not exist, is the dump or lies below it. */
async function liesInDump(folder: string, dump: string): Promise<boolean> {
  const dumpPath = await realpath(dump).catch(() => undefined);
  if (dumpPath === undefined || !(await stat(dumpPath)).isDirectory()) return false;
  const relative = path.relative(dumpPath, await realpathOfFuture(path.resolve(folder)));
  return relative !== '..' && !relative.startsWith(`..${path.sep}`) && !path.isAbsolute(relative);
}

/** Resolves links in the part of a path that exists already. */
async function realpathOfFuture(target: string): Promise<string> {
  const parent = path.dirname(target);
  if (parent === target) return target;
  return realpath(target).catch(async () => path.join(await realpathOfFuture(parent), path.basename(target)));
}

/** Writes a file under a temporary name beside it and renames it: it is there whole or as it was. */
export async function writeWhole(file: string, text: string): Promise<void> {
  const temporary = `${file}.${process.pid}.part`;
  try {
    await writeFile(temporary, text);
    await rename(temporary, file);
  } finally {
    await rm(temporary, { force: true });
  }
}

/** Writes a page where a flag said, whole or not at all. */
export async function writePage(file: string, text: string): Promise<void> {
  try {
    await writeWhole(file, text);
  } catch (error) {
    throw new HalfturnError(
      `"${displayText(file)}" could not be written: ${fileTrouble(error as Error, 'write')}.`,
      'Name a file in a folder that you may write to.',
    );
  }
}

// All at once, so that no signal ends the program between making something and taking it away.

/**
 * Makes a folder with the folders above it, and says which were not there, the outermost first. Node's own way tries
 * without end below /proc, where none can be made.
 */
export function makeFolder(folder: string): readonly string[] {
  try {
    mkdirSync(folder);
    return [folder];
  } catch (error) {
    if (isFolder(folder)) return [];
    const parent = path.dirname(folder);
    if ((error as NodeJS.ErrnoException).code !== 'ENOENT' || parent === folder) throw error;
    const above = makeFolder(parent);
    try {
      mkdirSync(folder);
      return [...above, folder];
    } catch (cause) {
      removeEmpty(above);
      throw cause;
    }
  }
}

function isFolder(folder: string): boolean {
  try {
    return statSync(folder).isDirectory();
  } catch {
    return false;
  }
}

/** Removes folders that nothing lies in; given with the outermost first. */
export function removeEmpty(folders: readonly string[]): void {
  for (const folder of folders.toReversed()) {
    try {
      rmdirSync(folder);
    } catch {
      // Something lies in it, or it is gone already.
    }
  }
}

/** Less than any report takes, and more than a full disk gives. */
const trialBytes = 64 << 10;

/** Throws what the system says where a folder cannot be made or written to. Nothing is left behind. */
export function tryFolder(folder: string): void {
  const created = makeFolder(folder);
  const trial = path.join(folder, `.halfturn-${randomUUID()}`);
  try {
    writeFileSync(trial, Buffer.alloc(trialBytes), { flag: 'wx' });
  } finally {
    rmSync(trial, { force: true });
    removeEmpty(created);
  }
}

function usualCacheFolder(): string {
  return envPaths('halfturn', { suffix: '' }).cache;
}

/** The folder for an audit of this dump; undefined where nothing is to be cached. */
export async function cacheFolderFor(dump: string, flag: boolean | undefined): Promise<string | undefined> {
  if (flag === false) return undefined;
  const folder = usualCacheFolder();
  if (!(await liesInDump(folder, dump))) return folder;
  process.stderr.write(
    `halfturn: The cache folder ${folder} lies inside the dump, where nothing is written. So this audit is not remembered; --no-cache says so at once.\n`,
  );
  return undefined;
}

/** What to say of a cache that could not be written. */
export function cacheTrouble({ trouble }: CacheUse): string | undefined {
  return (
    trouble &&
    `halfturn: Measurements could not be kept for the next audit (${trouble}). This one is whole; --no-cache keeps none.\n`
  );
}

/**
 * What was not done again; undefined where all was.
 * @example cacheUseSentence({ fromCache: 40, total: 44 }) // '40 of 44 files were unchanged since an earlier audit and not measured again.'
 */
export function cacheUseSentence({ fromCache, total }: CacheUse): string | undefined {
  if (fromCache === 0) return undefined;
  const files = total === 1 ? 'The file was' : `All ${total} files were`;
  const some = `${fromCache} of ${total} files ${fromCache === 1 ? 'was' : 'were'}`;
  return `${fromCache === total ? files : some} unchanged since an earlier audit and not measured again.`;
}

/** Where it lies, how large it is, and that it may go. */
export async function cacheSentence(): Promise<string> {
  const folder = usualCacheFolder();
  const { files, sizeBytes } = await cacheSize(folder);
  const holds = files === 0 ? 'nothing yet' : `${(sizeBytes / 1e6).toFixed(1)} MB`;
  return `Measurements are remembered in ${folder} (${holds}); the folder may be deleted at any time`;
}

/** A path that a terminal opens at a click (OSC 8, a convention of terminals); plain where nothing reads such signs. */
export function linkedPath(file: string, stream: NodeJS.WriteStream): string {
  const shown = displayText(file);
  if (stream.isTTY !== true || process.env['TERM'] === 'dumb') return shown;
  return `\u001b]8;;${pathToFileURL(path.resolve(file)).href}\u001b\\${shown}\u001b]8;;\u001b\\`;
}

/** Where the recordings lie, as an address from the folder of a report; undefined where that is another disk. */
export function mediaAddress(folder: string, dump: string): string | undefined {
  const place = statSync(dump, { throwIfNoEntry: false });
  if (place === undefined) return undefined;
  const media = path.resolve(place.isDirectory() ? dump : path.dirname(dump));
  const relative = path.relative(path.resolve(folder), media);
  if (path.isAbsolute(relative)) return undefined;
  return `${relative.split(path.sep).map(encodeURIComponent).join('/')}/`;
}
