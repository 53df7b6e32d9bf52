import type { Dirent } from 'node:fs';
import { lstat, readdir, readFile, statfs } from 'node:fs/promises';
import path from 'node:path';
import { classifyName } from '../../reading/fileNames.ts';

/** Where cards are looked for when none is named. */
export interface CardPlaces {
  /** Folders that may be cards themselves. */
  readonly volumes: readonly string[];
  /** Folders whose folders may be cards, and theirs where there are two levels. */
  readonly parents: readonly { readonly folder: string; readonly levels: 1 | 2 }[];
  /** Linux's table of what is mounted where; without one, what does not answer in time is left behind. */
  readonly mountTable?: string;
  /** Longest time for all of it, in milliseconds. */
  readonly wallMs: number;
}

const wallMs = 4000;

/** The usual places: desktops mount at /media or /run/media (udisks), macOS at /Volumes, Windows gives letters. */
export function usualCardPlaces(platform: NodeJS.Platform): CardPlaces {
  if (platform === 'win32') return { volumes: driveLetters(), parents: [], wallMs };
  if (platform === 'darwin') return { volumes: [], parents: [{ folder: '/Volumes', levels: 1 }], wallMs };
  return {
    volumes: [],
    parents: [
      { folder: '/media', levels: 2 },
      { folder: '/run/media', levels: 2 },
      { folder: '/mnt', levels: 1 },
    ],
    mountTable: platform === 'linux' ? '/proc/self/mountinfo' : undefined,
    wallMs,
  };
}

/** A and B are floppy drives, C is the system's. */
function driveLetters(): readonly string[] {
  return 'DEFGHIJKLMNOPQRSTUVWXYZ'.split('').map((letter) => `${letter}:\\`);
}

/** A mounted volume with the folder that cameras write to. */
export interface Card {
  readonly folder: string;
  /** Clips and stills by their names. */
  readonly recordings: number;
  /** Of the volume; absent where the system does not say. */
  readonly sizeBytes?: number;
}

export interface Looked {
  readonly folder: string;
  /** Absent before the look; `false` where it is no card. */
  readonly card?: Card | false;
}

/** Looks into every place and tells of each folder twice: before, and what was found. Links are not followed. */
export async function searchCards(places: CardPlaces, tell: (looked: Looked) => void): Promise<void> {
  const mounts = await mountsOf(places);
  const listed = await Promise.all(
    places.parents.map(({ folder, levels }) => foldersBelow(folder, levels, mounts)),
  );
  const volumes = [...places.volumes, ...(mounts === undefined ? [] : mountedVolumes(mounts))];
  await Promise.all(
    withoutSameContent([...volumes, ...listed.flat()], mounts).map(async (folder) => {
      tell({ folder });
      tell({ folder, card: (await cardAt(folder).catch(() => undefined)) ?? false });
    }),
  );
}

async function mountsOf({ mountTable }: CardPlaces): Promise<readonly Mount[] | undefined> {
  if (mountTable === undefined) return undefined;
  const text = await readFile(mountTable, 'utf8').catch(() => undefined);
  return text === undefined ? undefined : parseMountTable(text);
}

/** A list gives names without touching what they name, so what lies on a network is never asked. */
async function foldersBelow(
  folder: string,
  levels: number,
  mounts: readonly Mount[] | undefined,
): Promise<readonly string[]> {
  if (levels === 0 || !mayLookInto(folder, mounts)) return [];
  const entries = await readdir(folder, { withFileTypes: true }).catch((): Dirent[] => []);
  const below = entries.filter((entry) => entry.isDirectory()).map(({ name }) => path.join(folder, name));
  const deeper = await Promise.all(below.map((child) => foldersBelow(child, levels - 1, mounts)));
  return [...below.filter((child) => mayLookInto(child, mounts)), ...deeper.flat()];
}

function mayLookInto(folder: string, mounts: readonly Mount[] | undefined): boolean {
  return mounts === undefined || isLocal(folder, mounts);
}

/** A folder that is mounted at two places, or found in two ways, counts once. */
function withoutSameContent(
  folders: readonly string[],
  mounts: readonly Mount[] | undefined,
): readonly string[] {
  const first = new Map<string, string>();
  for (const folder of folders) {
    const mount = mounts && mountOf(folder, mounts);
    const key = mount?.folder === folder ? mount.content : folder;
    if (!first.has(key)) first.set(key, folder);
  }
  return [...first.values()];
}

// DCF (JEITA CP-3461, since 2010 CIPA DC-009): a camera keeps its pictures in folders of the folder DCIM in the root.
const imageRoot = 'DCIM';

async function cardAt(folder: string): Promise<Card | undefined> {
  if (!(await lstat(folder)).isDirectory()) return undefined;
  const entries = await readdir(folder, { withFileTypes: true });
  // FAT does not keep case, and systems show it either way.
  const root = entries.find((entry) => entry.isDirectory() && entry.name.toUpperCase() === imageRoot);
  if (root === undefined) return undefined;
  const recordings = await countRecordings(path.join(folder, root.name));
  const size = await statfs(folder).catch(() => undefined);
  return { folder, recordings, sizeBytes: size === undefined ? undefined : size.bsize * size.blocks };
}

async function countRecordings(imageFolder: string): Promise<number> {
  const entries = await readdir(imageFolder, { withFileTypes: true });
  const folders = entries.filter((entry) => entry.isDirectory()).map(({ name }) => name);
  const inside = await Promise.all(
    folders.map((name) => readdir(path.join(imageFolder, name), { withFileTypes: true }).catch(() => [])),
  );
  return [...entries, ...inside.flat()].filter(isRecording).length;
}

function isRecording(entry: Dirent): boolean {
  if (!entry.isFile()) return false;
  const { is } = classifyName(Buffer.from(entry.name));
  return is === 'clip' || is === 'still';
}

/** One line of /proc/self/mountinfo, as proc(5) of the Linux man pages describes it. */
interface Mount {
  readonly folder: string;
  readonly fileSystem: string;
  /** The same for two mounts that show the same content, as bind mounts do. */
  readonly content: string;
}

// id, parent, device, root in the device, mount point, options, any number of tags, "-", type, source, more options
const line = /^\d+ \d+ (\d+:\d+) (\S+) (\S+) \S+(?: \S+)* - (\S+) /;

/** Reads the mount table; lines that are none are left out. */
export function parseMountTable(text: string): readonly Mount[] {
  return text.split('\n').flatMap((row) => {
    const [, device, root, folder, fileSystem] = line.exec(row) ?? [];
    if (folder === undefined || fileSystem === undefined) return [];
    return [{ folder: unescaped(folder), fileSystem, content: `${device} ${root}` }];
  });
}

/** Space, tab, line break, backslash and "#" stand there as three octal digits. */
function unescaped(field: string): string {
  return field.replace(/\\([0-7]{3})/g, (_, digits: string) => String.fromCharCode(parseInt(digits, 8)));
}

// What a card, a disk or the memory of this machine carries. A network that has gone makes whoever asks wait for ever,
// and a pseudo file system holds no card; so what is not named here is not looked into.
const localFileSystems = new Set(
  'vfat msdos exfat ntfs ntfs3 fuseblk hfs hfsplus apfs udf iso9660 ext2 ext3 ext4 xfs btrfs f2fs zfs overlay tmpfs'.split(
    ' ',
  ),
);

/** Whether looking into the folder ends in good time: what it lies on, and all that hides beneath it, is local. */
export function isLocal(folder: string, mounts: readonly Mount[]): boolean {
  const mount = mountOf(folder, mounts);
  return mount !== undefined && localFileSystems.has(mount.fileSystem);
}

/** The mount that a folder lies on: the nearest above it, and of those at one place the last, which covers the others. */
function mountOf(folder: string, mounts: readonly Mount[]): Mount | undefined {
  let nearest: Mount | undefined;
  for (const mount of mounts)
    if (lies(folder, mount.folder) && mount.folder.length >= (nearest?.folder.length ?? 0)) nearest = mount;
  return nearest;
}

function lies(folder: string, under: string): boolean {
  return folder === under || folder.startsWith(under.endsWith('/') ? under : `${under}/`);
}

/** The folders of mounts that may be cards. The system's own root is none, nor is what another mount covers. */
function mountedVolumes(mounts: readonly Mount[]): readonly string[] {
  return mounts
    .filter((mount) => mount.folder !== '/' && mountOf(mount.folder, mounts) === mount)
    .map(({ folder }) => folder)
    .filter((folder) => isLocal(folder, mounts));
}
