import { mkdir, realpath, rename, rm, stat, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { displayText } from '../domain/displayText.ts';
import { HalfturnError } from '../domain/halfturnError.ts';

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
  const found = await stat(folder).catch(() => undefined);
  if (found === undefined || found.isDirectory()) return;
  throw new HalfturnError(
    `"${displayText(folder)}" is a file, and a report is a folder of files.`,
    'Name another folder for --out.',
  );
}

/** Whether a folder, which need not exist, is the dump or lies below it. */
export async function liesInDump(folder: string, dump: string): Promise<boolean> {
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

/**
 * Writes each file, by its path below the folder, under a temporary name and renames it, so that a crash never leaves
 * half a report. The next one is asked for when the one before is written.
 */
export async function writeOutputs(
  folder: string,
  files: Iterable<readonly [path: string, text: Iterable<string>]>,
): Promise<void> {
  try {
    await makeFolder(folder);
    for (const [name, text] of files) {
      await makeFolder(path.dirname(path.join(folder, name)));
      await writeWhole(path.join(folder, name), text);
    }
  } catch (error) {
    // Texts are made while they are written: what goes wrong there is no fault of the folder.
    if ((error as NodeJS.ErrnoException).syscall === undefined) throw error;
    throw new HalfturnError(
      `The report could not be written to "${folder}": ${(error as Error).message}.`,
      'Choose a folder that you may write to for --out.',
    );
  }
}

/** With the folders above it. Node's own way tries without end below /proc, where none can be made. */
async function makeFolder(folder: string): Promise<void> {
  try {
    await mkdir(folder);
  } catch (error) {
    const isThere = await stat(folder).then(
      (found) => found.isDirectory(),
      () => false,
    );
    if (isThere) return;
    const parent = path.dirname(folder);
    if ((error as NodeJS.ErrnoException).code !== 'ENOENT' || parent === folder) throw error;
    await makeFolder(parent);
    await mkdir(folder);
  }
}

/** Writes a file, in pieces or at once, under a temporary name beside it and renames it: it is there whole or as it was. */
export async function writeWhole(file: string, text: Iterable<string>): Promise<void> {
  const temporary = `${file}.${process.pid}.part`;
  try {
    await writeFile(temporary, text);
    await rename(temporary, file);
  } finally {
    await rm(temporary, { force: true });
  }
}
