import { execFileSync } from 'node:child_process';
import { mkdir, open, symlink, writeFile, type FileHandle } from 'node:fs/promises';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test, vi } from 'vitest';
import { openMedia } from '../../src/programs/openMedia.ts';
import { scratchFolder } from '../reading/madeMedia.ts';

const folder = await scratchFolder();
afterAll(() => folder.remove());
const at = (name: string): string => join(folder.path, name);
beforeAll(async () => {
  await writeFile(at('file'), '12345');
  await symlink(at('file'), at('link'));
  await mkdir(at('folder'));
  execFileSync('mkfifo', [at('pipe')]);
});

test('openMedia() opens a regular file and knows its size', async () => {
  const media = await openMedia(at('file'));
  expect(media.sizeBytes).toBe(5);
  await media.close();
});

test('openMedia() takes names that are not UTF-8', async () => {
  const name = Buffer.concat([Buffer.from(`${folder.path}/`), Buffer.from([0xff, 0xfe])]);
  await writeFile(name, 'x');
  const media = await openMedia(name);
  expect(media.sizeBytes).toBe(1);
  await media.close();
});

test.each([
  ['link', /is a link/],
  ['folder', /is not a regular file/],
  ['pipe', /is not a regular file/],
  ['absent', /was there when the folder was read and is gone now/],
])('openMedia() refuses a %s with a sentence', async (name, sentence) => {
  await expect(openMedia(at(name))).rejects.toThrow(sentence);
});

test('openMedia() leaves nothing open where a disk fails under it', async () => {
  const other = await open(at('file'));
  await other.close();
  const opened: FileHandle[] = [];
  const stat = vi.spyOn(Object.getPrototypeOf(other) as FileHandle, 'stat');
  stat.mockImplementationOnce(function (this: FileHandle) {
    opened.push(this);
    return Promise.reject(Object.assign(new Error('EIO: i/o error'), { code: 'EIO' }));
  });
  await expect(openMedia(at('file'))).rejects.toThrow(/could not be opened \(EIO\)$/);
  stat.mockRestore();
  // A handle that is closed has no number.
  expect(opened.map(({ fd }) => fd)).toEqual([-1]);
});
