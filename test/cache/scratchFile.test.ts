import { closeSync, mkdirSync, openSync, readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { openScratchFile, type ScratchFile } from '../../src/cache/scratchFile.ts';
import { afterCollecting } from '../afterCollecting.ts';
import { scratchFolder } from '../reading/madeMedia.ts';

const folder = await scratchFolder();
afterAll(() => folder.remove());

const value = {
  zero: -0,
  unknown: undefined,
  beyond: Infinity,
  text: 'clip ≈ ½',
  frames: [{ atSeconds: 0.04, levelStops: -1.5 }],
};

test('values come back as they were, each time anew, in any order', () => {
  const file = openScratchFile(folder.path);
  const asked = [value, 'another', [1, 2, 3]].map((one) => file.keep(one));
  expect(asked.toReversed().map((one) => one())).toStrictEqual([[1, 2, 3], 'another', value]);
  expect(asked[0]!()).not.toBe(asked[0]!());
  file.remove();
});

test('bytes come back as they were', () => {
  const file = openScratchFile(folder.path);
  const asked = ['first', '', 'third'].map((text) => file.keep({ bytes: Buffer.from(text) }));
  expect(asked.map((one) => Buffer.from(one().bytes).toString())).toEqual(['first', '', 'third']);
  file.remove();
});

test('whoever opened the file hears of each value that is written to it or read from it', () => {
  let heard = 0;
  const file = openScratchFile(folder.path, () => void (heard += 1));
  const ask = file.keep(value);
  expect(heard).toBe(1);
  ask();
  ask();
  expect(heard).toBe(3);
  file.remove();
});

test('what was kept is let go', async () => {
  const file = openScratchFile(folder.path);
  const { ask, kept } = keptWeakly(file);
  await afterCollecting();
  expect(kept.deref()).toBeUndefined();
  expect(ask()).toStrictEqual(value);
  file.remove();
});

/** In a function of its own, so that nothing here still holds the value. */
function keptWeakly(file: ScratchFile) {
  const one = { ...value };
  return { ask: file.keep(one), kept: new WeakRef(one) };
}

test.skipIf(process.platform === 'win32')('the file has no name that anybody could open it by', () => {
  const empty = path.join(folder.path, 'empty');
  mkdirSync(empty);
  const file = openScratchFile(empty);
  const ask = file.keep(value);
  expect(readdirSync(empty)).toEqual([]);
  expect(ask()).toStrictEqual(value);
  file.remove();
});

test.each([undefined, path.join(folder.path, 'missing')])(
  'in the folder %s everything stays in memory',
  (no) => {
    const file = openScratchFile(no);
    expect(file.keep(value)()).toBe(value);
    file.remove();
  },
);

test('once it is removed nothing is written to what has its number now', () => {
  const file = openScratchFile(folder.path);
  const before = file.keep(value);
  file.remove();
  file.remove();
  const other = path.join(folder.path, 'other');
  const opened = openSync(other, 'w');
  expect(file.keep(value)()).toBe(value);
  expect(before).toThrow('removed');
  closeSync(opened);
  expect(readFileSync(other, 'utf8')).toBe('');
});
