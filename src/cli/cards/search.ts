import { lstat, readdir, readFile, statfs } from 'node:fs/promises';
import type { Dirent } from 'node:fs';
import path from 'node:path';
import { classifyName } from '../../reading/fileNames.ts';
import type { CardPlaces } from './cardPlaces.ts';
import { isLocal, mountedVolumes, mountOf, parseMountTable, type Mount } from './mountTable.ts';

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
  const deeper = await Promise.all(below.map((one) => foldersBelow(one, levels - 1, mounts)));
  return [...below.filter((one) => mayLookInto(one, mounts)), ...deeper.flat()];
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
