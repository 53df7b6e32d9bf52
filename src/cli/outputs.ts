import { realpath, rename, rm, stat, writeFile } from 'node:fs/promises';
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

/** Writes a page where a flag said, whole or not at all. */
export async function writePage(file: string, text: string): Promise<void> {
  try {
    await writeWhole(file, text);
  } catch (error) {
    throw new HalfturnError(
      `"${displayText(file)}" could not be written: ${(error as Error).message}.`,
      'Name a file in a folder that you may write to.',
    );
  }
}
