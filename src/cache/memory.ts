import { randomBytes } from 'node:crypto';
import { mkdir, readFile, rename, rm, utimes, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { forgetOldest } from './forgetting.ts';
import { nameOfKey, packed, unpacked } from './memoryFile.ts';
import { memorySuffix, partSuffix } from './memoryNames.ts';

/** What was worked out once, under a key that names everything it rests on. */
export interface Memory {
  /** Undefined where nothing is remembered, or not whole. */
  readonly recall: (key: string) => Promise<unknown>;
  /** Never fails: what cannot be written is worked out again another time. */
  readonly keep: (key: string, value: unknown) => Promise<void>;
  /** Forgets what was not used for longest where there is too much; returns the first failure to keep something. */
  readonly close: () => Promise<string | undefined>;
}

/** Opens a folder of remembered values. It need not exist, may be shared, and may be deleted at any time. */
export function openMemory(folder: string): Memory {
  let kept = false;
  let failure: string | undefined;
  const fileOf = (key: string): string => path.join(folder, `${nameOfKey(key)}${memorySuffix}`);
  return {
    recall: async (key) => {
      const file = fileOf(key);
      const bytes = await readFile(file).catch(() => undefined);
      const value = bytes && unpacked(key, bytes);
      if (value !== undefined) await markUsed(file);
      return value;
    },
    keep: async (key, value) => {
      const bytes = packed(key, value);
      if (bytes === undefined) return;
      try {
        // Where the folder is deleted under it, it is written to a new one.
        await writeWhole(fileOf(key), bytes).catch((error: NodeJS.ErrnoException) => {
          if (error.code !== 'ENOENT') throw error;
          return writeWhole(fileOf(key), bytes);
        });
        kept = true;
      } catch (error) {
        failure ??= (error as Error).message;
      }
    },
    close: async () => {
      if (kept) await forgetOldest(folder);
      return failure;
    },
  };
}

/** Files are forgotten by the time of their last use, which is not kept by the system. */
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
