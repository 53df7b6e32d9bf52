import { createHash } from 'node:crypto';
import {
  existsSync,
  lstatSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  realpathSync,
  renameSync,
  rmSync,
  statSync,
} from 'node:fs';
import { writeFile } from 'node:fs/promises';
import path from 'node:path';
import { displayText } from '../domain/displayText.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import { fileTrouble } from '../programs/fileTrouble.ts';
import { firstFew } from '../report/arrangement.ts';
import { complain } from './streams.ts';
import { makeFolder, removeEmpty, tryFolder } from './outputs.ts';

// A report is written beside its place, below a folder of its own, and moved there when all of it is written: it is
// there whole, or the folder is as it was. What an earlier report left that the new one has no file for would be taken
// for the new one's. So each report lists its files, and the next one takes those away that nobody has changed since.

/** What each report consists of: SHA-256 and path of each file, in the form that common tools write and check. */
const listName = 'files.sha256';
const workFolder = /^\.halfturn-[A-Za-z0-9]{6}$/;
/** No report takes as long; a work folder that is older was left by a program that was killed. */
const forgottenMs = 24 * 60 * 60_000;

interface ListedFile {
  /** Below the folder, with "/". */
  readonly name: string;
  readonly sha256: string;
}

/** Said before minutes of measuring, not after them. */
export function tryReportFolder(folder: string): void {
  try {
    tryFolder(path.resolve(folder));
  } catch (error) {
    throw cannotWrite(folder, error as NodeJS.ErrnoException);
  }
}

/** Files of a report by their paths below its folder. Each text is made when the one before is written. */
type ReportTexts = Iterable<readonly [path: string, text: string]>;

/** Writes a report. Where that fails, nothing of it is left, and an earlier report there is as it was. */
export async function writeReport(folder: string, files: ReportTexts): Promise<void> {
  let undo = (): void => {};
  const undoAtExit = (): void => undo();
  process.once('exit', undoAtExit);
  try {
    const place = path.resolve(folder);
    const created = makeFolder(place);
    undo = () => removeEmpty(created);
    removeForgotten(place);
    const work = mkdtempSync(path.join(place, '.halfturn-'));
    undo = () => {
      rmSync(work, { recursive: true, force: true, maxRetries: 3 });
      removeEmpty(created);
    };
    const written = await writeBeside(path.join(work, 'new'), files);
    sayChanged(folder, moveIntoPlace({ place, work }, written));
  } catch (error) {
    // Texts are made while they are written: what goes wrong there is no fault of the folder.
    if ((error as NodeJS.ErrnoException).syscall === undefined) throw error;
    throw cannotWrite(folder, error as NodeJS.ErrnoException);
  } finally {
    process.off('exit', undoAtExit);
    undo();
  }
}

async function writeBeside(folder: string, files: ReportTexts): Promise<readonly ListedFile[]> {
  const written: ListedFile[] = [];
  for (const [name, text] of files) {
    const file = path.join(folder, name);
    mkdirSync(path.dirname(file), { recursive: true });
    await writeFile(file, text);
    written.push({ name, sha256: sha256Of(text) });
  }
  const list = written.map(({ name, sha256 }) => `${sha256}  ${name}\n`);
  mkdirSync(folder, { recursive: true });
  await writeFile(path.join(folder, listName), list.join(''));
  return written;
}

function sha256Of(content: string | Buffer): string {
  return createHash('sha256').update(content).digest('hex');
}

interface Places {
  readonly place: string;
  readonly work: string;
}

/**
 * All at once: no signal comes in between.
 * @returns files of an earlier report that were changed since, and so stay where they are
 */
function moveIntoPlace(places: Places, written: readonly ListedFile[]): readonly string[] {
  const { place } = places;
  const names = [...written.map(({ name }) => name), listName];
  const isNew = new Set(names);
  const earlier = listedIn(place).filter(({ name }) => !isNew.has(name) && isBelow(place, name));
  const ours = earlier.filter(
    ({ name, sha256 }) => sha256Of(readFileSync(path.join(place, name))) === sha256,
  );
  const steps: (() => void)[] = [];
  try {
    for (const { name } of ours) steps.push(moveAway(places, name));
    for (const name of names) steps.push(...putInPlace(places, name));
  } catch (error) {
    takeBack(steps);
    throw error;
  }
  removeEmpty(foldersOf(ours.map(({ name }) => name)).map((name) => path.join(place, name)));
  const removed = new Set(ours);
  return earlier.filter((file) => !removed.has(file)).map(({ name }) => name);
}

/** @returns what puts it back */
function moveAway({ place, work }: Places, name: string): () => void {
  const [file, old] = [path.join(place, name), path.join(work, 'old', name)];
  mkdirSync(path.dirname(old), { recursive: true });
  renameSync(file, old);
  return () => renameSync(old, file);
}

/** @returns what takes it back, step by step */
function putInPlace(places: Places, name: string): readonly (() => void)[] {
  const there = path.join(places.place, name);
  const earlier = lstatSync(there, { throwIfNoEntry: false });
  if (earlier?.isDirectory() === true) throw isAFolder(there);
  const steps: (() => void)[] = earlier === undefined ? [] : [moveAway(places, name)];
  try {
    const created = makeFolder(path.dirname(there));
    steps.push(() => removeEmpty(created));
    renameSync(path.join(places.work, 'new', name), there);
    return [...steps, () => rmSync(there, { force: true })];
  } catch (error) {
    takeBack(steps);
    throw error;
  }
}

/** As far as the disk still allows it. */
function takeBack(steps: readonly (() => void)[]): void {
  for (const step of steps.toReversed()) {
    try {
      step();
    } catch {
      // What can be put back is put back.
    }
  }
}

function sayChanged(folder: string, names: readonly string[]): void {
  if (names.length === 0) return;
  complain({
    message: `${firstFew(names)} in "${displayText(folder)}" came with an earlier report and was changed since, so it was left there`,
    hint: 'Do not take it for part of this report.',
  });
}

function isAFolder(file: string): NodeJS.ErrnoException {
  return Object.assign(new Error(`"${displayText(file)}" is a folder`), {
    syscall: 'rename',
  });
}

function listedIn(place: string): readonly ListedFile[] {
  const file = path.join(place, listName);
  if (!existsSync(file)) return [];
  return readFileSync(file, 'utf8')
    .split('\n')
    .flatMap((line) => {
      const [, sha256, name] = /^([0-9a-f]{64}) {2}(.+)$/.exec(line) ?? [];
      return sha256 === undefined || name === undefined ? [] : [{ sha256, name }];
    });
}

/** A list may come from anywhere; nothing outside its folder is touched, whatever it says. */
function isBelow(place: string, name: string): boolean {
  const file = path.join(place, name);
  if (lstatSync(file, { throwIfNoEntry: false })?.isFile() !== true) return false;
  const relative = path.relative(realpathSync(place), realpathSync(file));
  return !relative.startsWith('..') && !path.isAbsolute(relative);
}

/** The folders that hold files, below the report's, the outermost first. */
function foldersOf(names: readonly string[]): readonly string[] {
  const folders = names.flatMap((name) => {
    const parts = name.split('/').slice(0, -1);
    return parts.map((_, at) => parts.slice(0, at + 1).join('/'));
  });
  return [...new Set(folders)].toSorted((a, b) => a.length - b.length);
}

function removeForgotten(place: string): void {
  for (const name of readdirSync(place).filter((entry) => workFolder.test(entry))) {
    const folder = path.join(place, name);
    if (Date.now() - statSync(folder).mtimeMs > forgottenMs) rmSync(folder, { recursive: true, force: true });
  }
}

function cannotWrite(folder: string, error: NodeJS.ErrnoException): HalfturnError {
  const isFull = ['ENOSPC', 'EDQUOT', 'EFBIG'].includes(error.code ?? '');
  return new HalfturnError(
    `The report could not be written to "${displayText(folder)}": ${displayText(fileTrouble(error, 'write'))}. Nothing of it is left there.`,
    isFull
      ? 'Make room there, or choose a folder on another disk for --out.'
      : 'Choose a folder that you may write to for --out.',
  );
}
