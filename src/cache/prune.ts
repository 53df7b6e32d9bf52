import { readdir, rm, stat } from 'node:fs/promises';
import path from 'node:path';

/** Endings of the files in a cache folder: a value, and one that is being written. */
export const cacheSuffix = '.measured';
export const partSuffix = '.part';

// A recording takes 2 to 60 KB with its pictures, so this holds tens of thousands: more than years of flying, and
// less than a single card.
const mostBytes = 1_000_000_000;
/** Down to here when there is too much, so that not every audit has to prune. */
const bytesLeft = 800_000_000;
/** No audit writes one file for a day: an older part was left by one that was killed. */
const partAgeMs = 86_400_000;

interface CacheFile {
  readonly file: string;
  readonly sizeBytes: number;
  readonly usedMs: number;
}

/** How many files a cache folder holds, and how large they are together. */
export async function cacheSize(
  folder: string,
): Promise<{ readonly files: number; readonly sizeBytes: number }> {
  const all = await cacheFiles(folder);
  return { files: all.length, sizeBytes: total(all) };
}

/** Removes what was not used for longest where the files are too large together, and what killed audits left. */
export async function pruneCache(
  folder: string,
  { most, left }: { readonly most: number; readonly left: number } = { most: mostBytes, left: bytesLeft },
): Promise<void> {
  const all = await cacheFiles(folder);
  const abandonedMs = Date.now() - partAgeMs;
  const parts = all.filter(({ file, usedMs }) => file.endsWith(partSuffix) && usedMs < abandonedMs);
  for (const { file } of [...parts, ...oldest(all, { most, left })])
    await rm(file, { force: true }).catch(() => {});
}

function oldest(
  all: readonly CacheFile[],
  { most, left }: { readonly most: number; readonly left: number },
): readonly CacheFile[] {
  let excess = total(all) - left;
  if (total(all) <= most) return [];
  return all
    .toSorted((a, b) => a.usedMs - b.usedMs)
    .filter(({ sizeBytes }) => {
      const goes = excess > 0;
      excess -= sizeBytes;
      return goes;
    });
}

/** Other files in the folder are never touched. */
async function cacheFiles(folder: string): Promise<readonly CacheFile[]> {
  const names = await readdir(folder).catch(() => []);
  const files: CacheFile[] = [];
  for (const name of names.filter((each) => /^[0-9a-f]{64}\.measured(?:\.[0-9a-f]{12}\.part)?$/.test(each))) {
    const file = path.join(folder, name);
    const stats = await stat(file).catch(() => undefined);
    if (stats?.isFile() === true) files.push({ file, sizeBytes: stats.size, usedMs: stats.mtimeMs });
  }
  return files;
}

function total(all: readonly CacheFile[]): number {
  return all.reduce((sum, { sizeBytes }) => sum + sizeBytes, 0);
}
