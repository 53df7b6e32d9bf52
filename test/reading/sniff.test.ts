import { join } from 'node:path';
import { readFile } from 'node:fs/promises';
import { afterAll, expect, test } from 'vitest';
import { sniff } from '../../src/reading/sniff.ts';
import { makeMedia, scratchFolder, testPicture } from './madeMedia.ts';

const folder = await scratchFolder();
afterAll(() => folder.remove());

test.each(['mp4', 'mov', 'm4v', 'mkv', 'webm', 'ts', 'm2ts', 'mxf', 'avi'])(
  'a real %s file is a clip',
  async (ending) => {
    const file = join(folder.path, `clip.${ending}`);
    const codec = { webm: ['-c:v', 'libvpx'], mxf: ['-c:v', 'mpeg2video'] }[ending] ?? ['-c:v', 'mpeg4'];
    await makeMedia(...testPicture('25', 0.2, '64x64'), ...codec, file);
    expect(sniff((await readFile(file)).subarray(0, 1024))).toBe('clip');
  },
);

test.each(['jpg', 'png', 'tiff', 'webp'])('a real %s file is a still', async (ending) => {
  const file = join(folder.path, `still.${ending}`);
  await makeMedia(...testPicture('25', 0.04, '64x64'), '-frames:v', '1', file);
  expect(sniff((await readFile(file)).subarray(0, 1024))).toBe('still');
});

test('a high-speed file of each of its three codings is a clip', () => {
  for (const coding of [0, 1, 2])
    expect(sniff(Buffer.from([0x43, 0x49, 44, 0, coding, 0, 1, 0]))).toBe('clip');
});

test.each([
  ['#EXTM3U\n', 'playlist'],
  ['ffconcat version 1.0\nfile a.mp4\n', 'playlist'],
  ['v=0\no=- 0 0 IN IP4 127.0.0.1\n', 'playlist'],
  ['<?xml version="1.0"?><MPD/>', 'playlist'],
  ['#!/bin/sh\n', 'text'],
  ['', 'empty'],
  ['CI,\0\x03\0\x01\0', 'unknown'],
  ['CI,\0\0\0\x02\0', 'unknown'],
  ['\0\0\0\0\0\0\0\0', 'unknown'],
  ['G only once at the start', 'text'],
])('%j is not a clip', (text, what) => {
  expect(sniff(Buffer.from(text, 'latin1'))).toBe(what);
});

test('the brand of an ISO file tells a still from a clip', () => {
  const ftyp = (brand: string): Buffer => Buffer.from(`\0\0\0\x18ftyp${brand}\0\0\0\0`, 'latin1');
  expect(sniff(ftyp('heic'))).toBe('still');
  expect(sniff(ftyp('avif'))).toBe('still');
  expect(sniff(ftyp('mif2'))).toBe('still');
  expect(sniff(ftyp('isom'))).toBe('clip');
});
