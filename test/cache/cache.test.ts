import { createHash } from 'node:crypto';
import { existsSync, renameSync } from 'node:fs';
import { mkdir, readdir, readFile, rename, rm, stat, utimes, writeFile } from 'node:fs/promises';
import path from 'node:path';
import fc from 'fast-check';
import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import { openCache, cacheSize, pruneCache } from '../../src/cache/cache.ts';
import { scratchFolder } from '../reading/madeMedia.ts';

const scratch = await scratchFolder();
afterAll(() => scratch.remove());

let folder: string;
let count = 0;
beforeEach(() => {
  folder = path.join(scratch.path, `cache-${count++}`);
});

const fileOf = (key: string): string =>
  path.join(folder, `${createHash('sha256').update(key).digest('hex')}.measured`);

describe('a cache', () => {
  it('writes to a new folder where its own is gone at any moment of writing', async () => {
    const cache = openCache(folder);
    for (let waits = 0; waits < 200; waits++) {
      const kept = cache.write('key', 'value');
      for (let turn = 0; turn < waits % 20; turn++) await new Promise(setImmediate);
      // Moved away in one step: deleting would meet what is being written.
      if (existsSync(folder)) renameSync(folder, `${folder}-gone-${waits}`);
      await kept;
    }
    expect(await cache.close()).toBeUndefined();
  });

  it('gives back what was written: -0, bytes, what is not finite and what is undefined included', async () => {
    const value = { zero: -0, bytes: Buffer.from([0, 255]), numbers: [Infinity, NaN], none: undefined };
    const cache = openCache(folder);
    await cache.write('key', value);
    const cached = (await openCache(folder).read('key')) as typeof value;
    expect(cached).toEqual(value);
    expect(Object.is(cached.zero, -0)).toBe(true);
    expect('none' in cached).toBe(true);
    expect(await cache.read('another key')).toBeUndefined();
  });

  it('puts every key, whatever it holds, into a file of its own folder that only its owner may read', async () => {
    const cache = openCache(folder);
    const keys = [
      '../../outside',
      '/etc/outside',
      '..\\outside',
      'a\0b',
      '',
      '%2e%2e%2f',
      'x'.repeat(10_000),
    ];
    for (const key of keys) await cache.write(key, key);
    for (const key of keys) expect(await cache.read(key)).toBe(key);
    const names = await readdir(folder);
    expect(names).toHaveLength(keys.length);
    expect(names.filter((name) => !/^[0-9a-f]{64}\.measured$/.test(name))).toEqual([]);
    expect(await readdir(scratch.path)).not.toContain('outside');
    if (process.platform !== 'win32') expect((await stat(fileOf(''))).mode & 0o077).toBe(0);
  });

  it('reads nothing from a file that was cut off, changed, exchanged for another one, or is none', async () => {
    const cache = openCache(folder);
    await cache.write('key', { number: 1 });
    await cache.write('other', { number: 2 });
    const whole = await readFile(fileOf('key'));
    for (const length of [0, 1, 31, 32, 63, 64, whole.length - 1]) {
      await writeFile(fileOf('key'), whole.subarray(0, length));
      expect(await cache.read('key')).toBeUndefined();
    }
    await writeFile(fileOf('key'), 'not one of ours');
    expect(await cache.read('key')).toBeUndefined();
    await rename(fileOf('other'), fileOf('key'));
    expect(await cache.read('key')).toBeUndefined();
    await rm(fileOf('key'));
    await mkdir(fileOf('key'));
    expect(await cache.read('key')).toBeUndefined();
  });

  it('reads nothing once a single bit has changed', async () => {
    const cache = openCache(folder);
    const value = { numbers: [1, 2, 3], text: 'measured' };
    await cache.write('key', value);
    const written = await readFile(fileOf('key'));
    await fc.assert(
      fc.asyncProperty(fc.nat(written.length - 1), fc.nat(7), async (at, bit) => {
        const changed = Buffer.from(written);
        changed[at]! ^= 1 << bit;
        await writeFile(fileOf('key'), changed);
        expect(await cache.read('key')).toBeUndefined();
      }),
    );
    await writeFile(fileOf('key'), written);
    expect(await cache.read('key')).toEqual(value);
  });

  it('goes on where nothing can be written, and says so once', async () => {
    await writeFile(folder, 'a file where the folder should be');
    const cache = openCache(folder);
    await cache.write('key', 1);
    await cache.write('other', 2);
    expect(await cache.read('key')).toBeUndefined();
    expect(await cache.close()).toMatch(/EEXIST|ENOTDIR/);
    expect(await readFile(folder, 'utf8')).toBe('a file where the folder should be');
  });

  it('works on when its folder is deleted meanwhile', async () => {
    const cache = openCache(folder);
    await cache.write('key', 1);
    await rm(folder, { recursive: true });
    expect(await cache.read('key')).toBeUndefined();
    await cache.write('key', 2);
    expect(await cache.read('key')).toBe(2);
    expect(await cache.close()).toBeUndefined();
  });

  it('stays whole when many write the same at once', async () => {
    const writers = Array.from({ length: 20 }, () => openCache(folder));
    const value = { numbers: Array.from({ length: 5000 }, (_, at) => at) };
    await Promise.all(writers.map((cache) => cache.write('key', value)));
    expect(await openCache(folder).read('key')).toEqual(value);
    expect(await readdir(folder)).toEqual([path.basename(fileOf('key'))]);
  });
});

describe('pruneCache()', () => {
  const agedBy = async (file: string, seconds: number): Promise<void> => {
    const when = new Date(Date.now() - seconds * 1000);
    await utimes(file, when, when);
  };

  it('removes what was not used for longest until little enough is left', async () => {
    const cache = openCache(folder);
    for (const key of ['old', 'older', 'new', 'used']) await cache.write(key, key.padEnd(8));
    await agedBy(fileOf('older'), 4000);
    await agedBy(fileOf('old'), 3000);
    await agedBy(fileOf('used'), 9000);
    await cache.read('used');
    const { sizeBytes } = await cacheSize(folder);
    const one = sizeBytes / 4;
    await pruneCache(folder, { most: 4 * one + 40, left: 2 * one });
    expect((await cacheSize(folder)).files).toBe(4);
    await pruneCache(folder, { most: 4 * one - 40, left: 2 * one + 40 });
    expect(await cache.read('older')).toBeUndefined();
    expect(await cache.read('old')).toBeUndefined();
    expect([await cache.read('new'), await cache.read('used')]).toEqual(['new     ', 'used    ']);
  });

  it('removes what a killed audit left half written, after a day, and no file that is not the cache’s', async () => {
    const cache = openCache(folder);
    await cache.write('key', 1);
    const parts = ['aaaaaaaaaaaa', 'bbbbbbbbbbbb'].map((part) => `${fileOf('key')}.${part}.part`);
    const foreign = path.join(folder, 'holiday.jpg');
    for (const file of [...parts, foreign]) await writeFile(file, 'x');
    await agedBy(parts[0]!, 100_000);
    await agedBy(foreign, 100_000);
    await pruneCache(folder, { most: 0, left: 1e9 });
    expect((await readdir(folder)).sort()).toEqual(
      [fileOf('key'), parts[1]!, foreign].map((file) => path.basename(file)).sort(),
    );
    await pruneCache(folder, { most: 0, left: 0 });
    expect(await readdir(folder)).toEqual(['holiday.jpg']);
  });
});
