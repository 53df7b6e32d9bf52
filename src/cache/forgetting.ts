import { readdir, rm, stat } from 'node:fs/promises';
import path from 'node:path';
import { isMemoryFile, partSuffix } from './memoryNames.ts';

// A recording takes 2 to 60 KB with its pictures, so this holds tens of thousands: more than years of flying, and
// less than a single card.
const mostBytes = 1_000_000_000;
/** Down to here when there is too much, so that not every audit has to forget. */
const bytesLeft = 800_000_000;
/** No audit writes one file for a day: an older part was left by one that was killed. */
const partAgeMs = 86_400_000;

interface MemoryFile {
  readonly file: string;
  readonly sizeBytes: number;
  readonly usedMs: number;
}

/** How many files a memory's folder holds, and how large they are together. */
export async function memorySize(
  folder: string,
): Promise<{ readonly files: number; readonly sizeBytes: number }> {
  const all = await memoryFiles(folder);
  return { files: all.length, sizeBytes: total(all) };
}

/** Removes what was not used for longest where the files are too large together, and what killed audits left. */
export async function forgetOldest(
  folder: string,
  { most, left }: { readonly most: number; readonly left: number } = { most: mostBytes, left: bytesLeft },
): Promise<void> {
  const all = await memoryFiles(folder);
  const abandonedMs = Date.now() - partAgeMs;
  const parts = all.filter(({ file, usedMs }) => file.endsWith(partSuffix) && usedMs < abandonedMs);
  await removeAll([...parts, ...oldest(all, { most, left })]);
}

function oldest(
  all: readonly MemoryFile[],
  { most, left }: { readonly most: number; readonly left: number },
): readonly MemoryFile[] {
  let excess = total(all) - left;
  if (total(all) <= most) return [];
  return [...all]
    .sort((a, b) => a.usedMs - b.usedMs)
    .filter(({ sizeBytes }) => {
      const goes = excess > 0;
      excess -= sizeBytes;
      return goes;
    });
}

async function memoryFiles(folder: string): Promise<readonly MemoryFile[]> {
  const names = await readdir(folder).catch(() => []);
  const found: MemoryFile[] = [];
  for (const name of names.filter(isMemoryFile)) {
    const file = path.join(folder, name);
    const stats = await stat(file).catch(() => undefined);
    if (stats?.isFile() === true) found.push({ file, sizeBytes: stats.size, usedMs: stats.mtimeMs });
  }
  return found;
}

function total(all: readonly MemoryFile[]): number {
  return all.reduce((sum, { sizeBytes }) => sum + sizeBytes, 0);
}

async function removeAll(all: readonly MemoryFile[]): Promise<void> {
  for (const { file } of all) await rm(file, { force: true }).catch(() => {});
}
