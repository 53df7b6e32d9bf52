import { createHash, randomBytes } from 'node:crypto';
import { mkdir, readFile, rename, rm, utimes, writeFile, readdir, stat } from 'node:fs/promises';
import path from 'node:path';
import { deserialize, serialize } from 'node:v8';
import { deflateRawSync, inflateRawSync } from 'node:zlib';

// One file holds one value: a digest of all that follows, the digest of its key, and the compressed value. A file that
// was cut off, damaged, renamed or put there by somebody else does not agree with itself or with its name and is
// nothing. Values are written as Node copies them between threads and not as JSON, because -0, bytes and numbers that
// are not finite come back as they were.

/** What was worked out once, under a key that names everything it rests on. */
export interface Cache {
  /** Undefined where there is nothing under the key, or not all of it. */
  readonly read: (key: string) => Promise<unknown>;
  /** Never fails: what cannot be written is worked out again another time. */
  readonly write: (key: string, value: unknown) => Promise<void>;
  /** Removes what was not used for longest where there is too much; returns the first failure to write something. */
  readonly close: () => Promise<string | undefined>;
}

const digestBytes = 32;
/** A value that would be larger is not cached, and a file that claims to hold one is not unpacked. */
const mostBytes = 64 << 20;

/** Opens a folder of cached values. It need not exist, may be shared, and may be deleted at any time. */
export function openCache(folder: string): Cache {
  let isChanged = false;
  let failure: string | undefined;
  const fileOf = (key: string): string => path.join(folder, `${nameOfKey(key)}${cacheSuffix}`);
  return {
    read: async (key) => {
      const file = fileOf(key);
      const bytes = await readFile(file).catch(() => undefined);
      const value = bytes && unpacked(key, bytes);
      if (value !== undefined) await markUsed(file);
      return value;
    },
    write: async (key, value) => {
      const bytes = packed(key, value);
      if (bytes === undefined) return;
      try {
        // Where the folder is deleted under it, it is written to a new one.
        await writeWhole(fileOf(key), bytes).catch((error: NodeJS.ErrnoException) => {
          if (error.code !== 'ENOENT') throw error;
          return writeWhole(fileOf(key), bytes);
        });
        isChanged = true;
      } catch (error) {
        failure ??= (error as Error).message;
      }
    },
    close: async () => {
      if (isChanged) await pruneCache(folder);
      return failure;
    },
  };
}

/** Files are removed by the time of their last use, which is not kept by the system. */
async function markUsed(file: string): Promise<void> {
  const now = new Date();
  await utimes(file, now, now).catch(() => {}); // A folder that may only be read is of use too.
}

/** Whole or not at all, also where two audits write the same, or the folder is deleted meanwhile. */
async function writeWhole(file: string, bytes: Buffer): Promise<void> {
  const temporary = `${file}.${randomBytes(6).toString('hex')}${partSuffix}`;
  try {
    // Only for its owner: it tells where somebody flew.
    await mkdir(path.dirname(file), { recursive: true, mode: 0o700 });
    await writeFile(temporary, bytes, { mode: 0o600, flag: 'wx' });
    await rename(temporary, file);
  } finally {
    await rm(temporary, { force: true }).catch(() => {});
  }
}

/** The name of the file for a key: 64 hex digits, whatever the key holds. */
function nameOfKey(key: string): string {
  return createHash('sha256').update(key).digest('hex');
}

function packed(key: string, value: unknown): Buffer | undefined {
  const plain = serialize(value);
  if (plain.length > mostBytes) return undefined;
  const body = Buffer.concat([Buffer.from(nameOfKey(key), 'hex'), deflateRawSync(plain)]);
  return Buffer.concat([digest(body), body]);
}

/** The value that a file holds for a key; undefined where it is not whole or not of this key. */
function unpacked(key: string, file: Buffer): unknown {
  const body = file.subarray(digestBytes);
  if (!file.subarray(0, digestBytes).equals(digest(body))) return undefined;
  if (body.toString('hex', 0, digestBytes) !== nameOfKey(key)) return undefined;
  try {
    return deserialize(inflateRawSync(body.subarray(digestBytes), { maxOutputLength: mostBytes }));
  } catch {
    return undefined;
  }
}

function digest(bytes: Uint8Array): Buffer {
  return createHash('sha256').update(bytes).digest();
}

/** Endings of the files in a cache folder: a value, and one that is being written. */
const cacheSuffix = '.measured';
const partSuffix = '.part';

// A recording takes 2 to 60 KB with its pictures, so this holds tens of thousands: more than years of flying, and
// less than a single card.
const mostFolderBytes = 1_000_000_000;
/** Down to here when there is too much, so that not every audit has to prune. */
const bytesLeft = 800_000_000;
/** No audit writes one file for a day: an older part was left by one that was killed. */
const partAgeMs = 86_400_000;

interface CacheFile {
  readonly file: string;
  readonly sizeBytes: number;
  readonly usedMs: number;
}

export async function cacheSize(
  folder: string,
): Promise<{ readonly files: number; readonly sizeBytes: number }> {
  const all = await cacheFiles(folder);
  return { files: all.length, sizeBytes: total(all) };
}

/** Removes what was not used for longest where the files are too large together, and what killed audits left. */
export async function pruneCache(
  folder: string,
  { most, left }: { readonly most: number; readonly left: number } = {
    most: mostFolderBytes,
    left: bytesLeft,
  },
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
