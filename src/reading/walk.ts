import type { Dirent } from 'node:fs';
import { lstat, opendir } from 'node:fs/promises';
import { displayText } from '../domain/displayText.ts';
import type { Problem } from '../domain/recording.ts';
import { folderLeftAside, type LeftAside } from './fileNames.ts';

// Node's own recursive reading follows loops of links, stops without a word in deep trees, and cannot give names
// as bytes; names on a card need not be UTF-8.

export interface WalkedFile {
  /** Names from the dump's root down to the file, as bytes. */
  readonly names: readonly Buffer[];
  readonly file: Buffer;
  readonly what: 'file' | 'link' | 'special';
}

const maxDepth = 40;
const maxEntries = 200_000;

interface Walk {
  readonly files: WalkedFile[];
  readonly problems: Problem[];
  readonly foldersLeftAside: LeftAside[];
  /** What lies in folders for low-resolution copies, which are not walked. */
  readonly copies: WalkedFile[];
  readonly copyBudget: Budget;
  entriesLeft: number;
}

interface Budget {
  entriesLeft: number;
}

/** Lists everything under a folder without following a link, in the order of the names' bytes. */
export async function walk(root: Buffer): Promise<Omit<Walk, 'copyBudget' | 'entriesLeft'>> {
  const walking = newWalking();
  await walkFolder(root, [], walking);
  walking.files.sort((a, b) => Buffer.compare(joinNames(a.names), joinNames(b.names)));
  return walking;
}

/** The files of one folder, without what its folders hold save low-resolution copies; none where it cannot be listed. */
export async function listFiles(folder: Buffer): Promise<Pick<Walk, 'files' | 'copies'>> {
  const walking = newWalking();
  const entries = await listFolder(folder, walking).catch(() => []);
  addFiles(walking.files, entries, { folder, names: [] });
  for (const entry of entries)
    if (entry.isDirectory() && folderLeftAside(nameOf(entry)) === 'proxies')
      await addCopies({ folder: childOf(folder, entry), names: [nameOf(entry)] }, walking);
  return walking;
}

function newWalking(): Walk {
  const copyBudget = { entriesLeft: maxEntries };
  return { files: [], problems: [], foldersLeftAside: [], copies: [], copyBudget, entriesLeft: maxEntries };
}

interface Place {
  readonly folder: Buffer;
  readonly names: readonly Buffer[];
}

/** One that cannot be read is no problem: nothing of it is audited. */
async function addCopies(place: Place, { copies, copyBudget }: Walk): Promise<void> {
  addFiles(copies, await listFolder(place.folder, copyBudget).catch(() => []), place);
}

function addFiles(files: WalkedFile[], entries: readonly Dirent[], { folder, names }: Place): void {
  for (const entry of entries)
    if (entry.isFile())
      files.push({ names: [...names, nameOf(entry)], file: childOf(folder, entry), what: 'file' });
}

/** The path of a walked file for people: "/" between names, everything unprintable escaped. */
export function displayPath(names: readonly Buffer[]): string {
  return names.map((name) => displayText(name)).join('/');
}

function joinNames(names: readonly Buffer[]): Buffer {
  return Buffer.concat(names.flatMap((name, at) => (at === 0 ? [name] : [Buffer.from('/'), name])));
}

async function walkFolder(folder: Buffer, names: readonly Buffer[], walking: Walk): Promise<void> {
  const refuse = (message: string, hint: string): void => {
    walking.problems.push({ path: displayPath(names), message, hint });
  };
  if (names.length > maxDepth) {
    refuse(
      `lies more than ${maxDepth} folders deep and was not looked into`,
      'Audit the inner folder by itself.',
    );
    return;
  }
  let entries: Dirent[];
  try {
    entries = await listFolder(folder, walking);
  } catch (error) {
    const { code, message } = error as NodeJS.ErrnoException;
    if (code === 'EACCES' || code === 'EPERM')
      refuse('may not be read by this user', 'Give yourself permission to read it.');
    else refuse(`could not be read (${code ?? message})`, 'Copy the card again and check it for errors.');
    return;
  }
  if (walking.entriesLeft < 0) {
    refuse(
      `was not looked into, because the dump holds more than ${maxEntries} files`,
      'Audit one folder of the card at a time.',
    );
    return;
  }
  for (const entry of entries) await walkEntry(folder, names, entry, walking);
}

async function walkEntry(
  folder: Buffer,
  names: readonly Buffer[],
  entry: Dirent,
  walking: Walk,
): Promise<void> {
  const name = nameOf(entry);
  const file = childOf(folder, entry);
  const what = await kindOf(entry, file);
  const path = [...names, name];
  if (what !== 'folder') {
    walking.files.push({ names: path, file, what });
    return;
  }
  const reason = folderLeftAside(name);
  if (reason === undefined) await walkFolder(file, path, walking);
  else walking.foldersLeftAside.push(reason);
  if (reason === 'proxies') await addCopies({ folder: file, names: path }, walking);
}

async function listFolder(folder: Buffer, budget: Budget): Promise<Dirent[]> {
  const entries: Dirent[] = [];
  // The types know only text names here; the option itself is honoured.
  const handle = await opendir(folder as unknown as string, { encoding: 'buffer' as BufferEncoding });
  for await (const entry of handle) {
    budget.entriesLeft -= 1;
    if (budget.entriesLeft < 0) break;
    entries.push(entry);
  }
  return entries.sort((a, b) => Buffer.compare(nameOf(a), nameOf(b)));
}

function nameOf(entry: Dirent): Buffer {
  return entry.name as unknown as Buffer;
}

function childOf(folder: Buffer, entry: Dirent): Buffer {
  return Buffer.concat([folder, Buffer.from('/'), nameOf(entry)]);
}

async function kindOf(entry: Dirent, file: Buffer): Promise<WalkedFile['what'] | 'folder'> {
  // Some file systems do not say what an entry is; then it must be asked.
  const says =
    entry.isFile() || entry.isDirectory() || entry.isSymbolicLink()
      ? entry
      : await lstat(file).catch(() => entry);
  if (says.isDirectory()) return 'folder';
  if (says.isFile()) return 'file';
  return says.isSymbolicLink() ? 'link' : 'special';
}
