import { mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { audit } from '../../src/audit/audit.ts';
import { scratchFolder } from '../reading/madeMedia.ts';

const scratch = await scratchFolder();
afterAll(() => scratch.remove());

/** Begins as an MP4 does (ISO/IEC 14496-12, 4.3: a box of 20 bytes named "ftyp") and ends within its next box. */
const cutOff = (boxName: string) =>
  Buffer.from(`\0\0\0\x14ftypisom\0\0\0\0mp42\0\0\xff\xff${boxName}`, 'latin1');

beforeAll(() => {
  for (const folder of ['A', 'B']) mkdirSync(path.join(scratch.path, folder));
  const write = (name: string, bytes: Uint8Array) => writeFileSync(path.join(scratch.path, name), bytes);
  write('A/CLIP2.MP4', cutOff('mdat'));
  write('A/CLIP10.MP4', cutOff('free'));
  write('A/CLIP9.MP4', Buffer.alloc(0));
  write('B/CLIP1.MP4', Buffer.alloc(0));
});

test('problems stand in the order of their paths, whether the walk or the reading found them', async () => {
  const { problems } = await audit(scratch.path);
  expect(problems.map(({ path: where, message }) => [where, message === 'is empty'])).toEqual([
    ['A/CLIP2.MP4', false],
    ['A/CLIP9.MP4', true],
    ['A/CLIP10.MP4', false],
    ['B/CLIP1.MP4', true],
  ]);
});
