import { appendFile, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { provesUnchanged, unchangedMark } from '../../src/reading/identity.ts';
import { scratchFolder } from './madeMedia.ts';

const folder = await scratchFolder();
afterAll(() => folder.remove());

const second = 1_000_000_000n;
const nowMs = 1_800_000_000_000;
const now = BigInt(nowMs) * 1_000_000n;

test('provesUnchanged() trusts a change time that the system set when a file was copied with its old time', () => {
  expect(provesUnchanged({ mtimeNs: now - 9000n * second, ctimeNs: now - 60n * second }, nowMs)).toBe(true);
});

test('provesUnchanged() does not trust a file that may have changed within the same step of the clock', () => {
  expect(provesUnchanged({ mtimeNs: now - 9000n * second, ctimeNs: now - second }, nowMs)).toBe(false);
  expect(provesUnchanged({ mtimeNs: now - 9000n * second, ctimeNs: now + second }, nowMs)).toBe(false);
});

test('provesUnchanged() does not trust a change time that was made up: none at all, or before the last write', () => {
  expect(provesUnchanged({ mtimeNs: now - 60n * second, ctimeNs: 0n }, nowMs)).toBe(false);
  expect(provesUnchanged({ mtimeNs: -second, ctimeNs: -second }, nowMs)).toBe(false);
  expect(provesUnchanged({ mtimeNs: now - 60n * second, ctimeNs: now - 61n * second }, nowMs)).toBe(false);
});

test.skipIf(process.platform !== 'linux')(
  'unchangedMark() changes with the low-resolution copy, and when that comes or goes',
  async () => {
    const file = Buffer.from(join(folder.path, 'A.MP4'));
    const lowResolutionCopy = Buffer.from(join(folder.path, 'A.LRV'));
    await writeFile(file, 'clip');
    await writeFile(lowResolutionCopy, 'copy');
    const entry = {
      path: 'A.MP4',
      file,
      kind: 'clip',
      sizeBytes: 4,
      sidecars: [],
      fingerprint: '0',
    } as const;
    const later = Date.now() + 60_000;
    const marks = [
      await unchangedMark(entry, later),
      await unchangedMark({ ...entry, lowResolutionCopy }, later),
    ];
    expect(await unchangedMark({ ...entry, lowResolutionCopy }, later)).toBe(marks[1]);
    await appendFile(lowResolutionCopy, ' and more');
    marks.push(await unchangedMark({ ...entry, lowResolutionCopy }, later));
    await rm(lowResolutionCopy);
    marks.push(await unchangedMark({ ...entry, lowResolutionCopy }, later));
    expect(marks).not.toContain(undefined);
    expect(new Set(marks).size).toBe(4);
    expect(await unchangedMark(entry, later)).toBe(marks[0]);
  },
);
