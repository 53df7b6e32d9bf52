import { existsSync, renameSync } from 'node:fs';
import { mkdir, readdir, readFile, rename, rm, stat, utimes, writeFile } from 'node:fs/promises';
import path from 'node:path';
import fc from 'fast-check';
import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import { forgetOldest, memorySize } from '../../src/cache/forgetting.ts';
import { openMemory } from '../../src/cache/memory.ts';
import { nameOfKey, packed, unpacked } from '../../src/cache/memoryFile.ts';
import { scratchFolder } from '../reading/madeMedia.ts';

const scratch = await scratchFolder();
afterAll(() => scratch.remove());

let folder: string;
let count = 0;
beforeEach(() => {
  folder = path.join(scratch.path, `memory-${count++}`);
});

const fileOf = (key: string): string => path.join(folder, `${nameOfKey(key)}.measured`);

describe('a memory', () => {
  it('writes to a new folder where its own is gone at any moment of writing', async () => {
    const memory = openMemory(folder);
    for (let waits = 0; waits < 200; waits++) {
      const kept = memory.keep('key', 'value');
      for (let turn = 0; turn < waits % 20; turn++) await new Promise(setImmediate);
      // Moved away in one step: deleting would meet what is being written.
      if (existsSync(folder)) renameSync(folder, `${folder}-gone-${waits}`);
      await kept;
    }
    expect(await memory.close()).toBeUndefined();
  });

  it('gives back what was kept: -0, bytes, what is not finite and what is undefined included', async () => {
    const value = { zero: -0, bytes: Buffer.from([0, 255]), numbers: [Infinity, NaN], none: undefined };
    const memory = openMemory(folder);
    await memory.keep('key', value);
    const recalled = (await openMemory(folder).recall('key')) as typeof value;
    expect(recalled).toEqual(value);
    expect(Object.is(recalled.zero, -0)).toBe(true);
    expect('none' in recalled).toBe(true);
    expect(await memory.recall('another key')).toBeUndefined();
  });

  it('puts every key, whatever it holds, into a file of its own folder that only its owner may read', async () => {
    const memory = openMemory(folder);
    const keys = [
      '../../outside',
      '/etc/outside',
      '..\\outside',
      'a\0b',
      '',
      '%2e%2e%2f',
      'x'.repeat(10_000),
    ];
    for (const key of keys) await memory.keep(key, key);
    for (const key of keys) expect(await memory.recall(key)).toBe(key);
    const names = await readdir(folder);
    expect(names).toHaveLength(keys.length);
    expect(names.filter((name) => !/^[0-9a-f]{64}\.measured$/.test(name))).toEqual([]);
    expect(await readdir(scratch.path)).not.toContain('outside');
    if (process.platform !== 'win32') expect((await stat(fileOf(''))).mode & 0o077).toBe(0);
  });

  it('recalls nothing from a file that was cut off, changed, exchanged for another one, or is none', async () => {
    const memory = openMemory(folder);
    await memory.keep('key', { number: 1 });
    await memory.keep('other', { number: 2 });
    const whole = await readFile(fileOf('key'));
    for (const length of [0, 1, 31, 32, 63, 64, whole.length - 1]) {
      await writeFile(fileOf('key'), whole.subarray(0, length));
      expect(await memory.recall('key')).toBeUndefined();
    }
    await writeFile(fileOf('key'), 'not one of ours');
    expect(await memory.recall('key')).toBeUndefined();
    await rename(fileOf('other'), fileOf('key'));
    expect(await memory.recall('key')).toBeUndefined();
    await rm(fileOf('key'));
    await mkdir(fileOf('key'));
    expect(await memory.recall('key')).toBeUndefined();
  });

  it('recalls nothing once a single bit has changed', () => {
    const whole = packed('key', { numbers: [1, 2, 3], text: 'remembered' })!;
    fc.assert(
      fc.property(fc.nat(whole.length - 1), fc.nat(7), (at, bit) => {
        const changed = Buffer.from(whole);
        changed[at]! ^= 1 << bit;
        expect(unpacked('key', changed)).toBeUndefined();
      }),
    );
    expect(unpacked('key', whole)).toEqual({ numbers: [1, 2, 3], text: 'remembered' });
  });

  it('goes on where nothing can be written, and says so once', async () => {
    await writeFile(folder, 'a file where the folder should be');
    const memory = openMemory(folder);
    await memory.keep('key', 1);
    await memory.keep('other', 2);
    expect(await memory.recall('key')).toBeUndefined();
    expect(await memory.close()).toMatch(/EEXIST|ENOTDIR/);
    expect(await readFile(folder, 'utf8')).toBe('a file where the folder should be');
  });

  it('works on when its folder is deleted meanwhile', async () => {
    const memory = openMemory(folder);
    await memory.keep('key', 1);
    await rm(folder, { recursive: true });
    expect(await memory.recall('key')).toBeUndefined();
    await memory.keep('key', 2);
    expect(await memory.recall('key')).toBe(2);
    expect(await memory.close()).toBeUndefined();
  });

  it('stays whole when many write the same at once', async () => {
    const writers = Array.from({ length: 20 }, () => openMemory(folder));
    const value = { numbers: Array.from({ length: 5000 }, (_, at) => at) };
    await Promise.all(writers.map((memory) => memory.keep('key', value)));
    expect(await openMemory(folder).recall('key')).toEqual(value);
    expect(await readdir(folder)).toEqual([path.basename(fileOf('key'))]);
  });
});

describe('forgetOldest()', () => {
  const agedBy = async (file: string, seconds: number): Promise<void> => {
    const when = new Date(Date.now() - seconds * 1000);
    await utimes(file, when, when);
  };

  it('removes what was not used for longest until little enough is left', async () => {
    const memory = openMemory(folder);
    for (const key of ['old', 'older', 'new', 'used']) await memory.keep(key, key.padEnd(8));
    await agedBy(fileOf('older'), 4000);
    await agedBy(fileOf('old'), 3000);
    await agedBy(fileOf('used'), 9000);
    await memory.recall('used');
    const { sizeBytes } = await memorySize(folder);
    const one = sizeBytes / 4;
    await forgetOldest(folder, { most: 4 * one + 40, left: 2 * one });
    expect((await memorySize(folder)).files).toBe(4);
    await forgetOldest(folder, { most: 4 * one - 40, left: 2 * one + 40 });
    expect(await memory.recall('older')).toBeUndefined();
    expect(await memory.recall('old')).toBeUndefined();
    expect([await memory.recall('new'), await memory.recall('used')]).toEqual(['new     ', 'used    ']);
  });

  it('removes what a killed audit left half written, after a day, and no file that is not the memory’s', async () => {
    const memory = openMemory(folder);
    await memory.keep('key', 1);
    const parts = ['aaaaaaaaaaaa', 'bbbbbbbbbbbb'].map((part) => `${fileOf('key')}.${part}.part`);
    const foreign = path.join(folder, 'holiday.jpg');
    for (const file of [...parts, foreign]) await writeFile(file, 'x');
    await agedBy(parts[0]!, 100_000);
    await agedBy(foreign, 100_000);
    await forgetOldest(folder, { most: 0, left: 1e9 });
    expect((await readdir(folder)).sort()).toEqual(
      [fileOf('key'), parts[1]!, foreign].map((file) => path.basename(file)).sort(),
    );
    await forgetOldest(folder, { most: 0, left: 0 });
    expect(await readdir(folder)).toEqual(['holiday.jpg']);
  });
});
