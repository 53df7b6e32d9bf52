import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { scratchFolderFor } from '../../src/cli/scratchFolder.ts';
import { makeMedia, scratchFolder, testPicture } from '../reading/madeMedia.ts';

const program = path.resolve(import.meta.dirname, '../../bin/halfturn.js');
const scratch = await scratchFolder();
const card = path.join(scratch.path, 'card');
afterAll(() => scratch.remove());

test('things wait in the temporary folder, unless it lies in the dump', async () => {
  mkdirSync(card);
  expect(await scratchFolderFor(card)).toBe(tmpdir());
  expect(await scratchFolderFor(path.dirname(tmpdir()))).toBeUndefined();
  expect(await scratchFolderFor(path.join(card, 'missing'))).toBe(tmpdir());
});

test.skipIf(process.platform === 'win32')(
  'a dump with the temporary folder in it stays as it is',
  async () => {
    await makeMedia(...testPicture('25', 1, '320x180'), '-c:v', 'libx264', path.join(card, 'CLIP0001.MP4'));
    const temporary = path.join(card, 'tmp');
    mkdirSync(temporary);
    // Making or removing anything in a folder changes its time.
    const changedMs = statSync(temporary).mtimeMs;
    const out = path.join(scratch.path, 'report');
    execFileSync(process.execPath, [program, 'audit', card, '--out', out, '--no-logbook', '--no-cache'], {
      env: { ...process.env, TMPDIR: temporary },
    });
    expect(existsSync(path.join(out, 'report.html'))).toBe(true);
    expect(statSync(temporary).mtimeMs).toBe(changedMs);
  },
);
