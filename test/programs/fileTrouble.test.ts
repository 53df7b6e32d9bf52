import { chmodSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, expect, it } from 'vitest';
import { fileTrouble } from '../../src/programs/fileTrouble.ts';

const scratch = mkdtempSync(path.join(tmpdir(), 'halfturn-trouble-'));
const file = path.join(scratch, 'file');
writeFileSync(file, '');
afterAll(() => rmSync(scratch, { recursive: true }));

function thrownBy(work: () => unknown): NodeJS.ErrnoException {
  try {
    work();
  } catch (error) {
    return error as NodeJS.ErrnoException;
  }
  throw new Error('nothing was thrown');
}

it('says what the system says in plain words', () => {
  const missing = path.join(scratch, 'none', 'file');
  expect(fileTrouble(thrownBy(() => readFileSync(missing)))).toBe('it is not there');
  expect(
    fileTrouble(
      thrownBy(() => writeFileSync(missing, '')),
      'write',
    ),
  ).toBe('its folder is not there');
  expect(fileTrouble(thrownBy(() => readFileSync(scratch)))).toBe('it is a folder');
  expect(fileTrouble(thrownBy(() => readFileSync(path.join(file, 'x'))))).toContain(
    'is a file and no folder',
  );
  expect(fileTrouble(thrownBy(() => writeFileSync(path.join(scratch, 'x'.repeat(300)), '')))).toBe(
    'its name is too long',
  );
});

it.skipIf(process.platform === 'win32' || process.getuid?.() === 0)('says that a user may not', () => {
  chmodSync(file, 0o200);
  expect(fileTrouble(thrownBy(() => readFileSync(file)))).toBe('this user may not read it');
});

it('leaves what is rare in the words of the system', () => {
  expect(fileTrouble(new Error('the tape is torn'))).toBe('the tape is torn');
});
