import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { linesWithin } from '../../src/programs/scripts.ts';

const folder = mkdtempSync(path.join(tmpdir(), 'halfturn-lines-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function script(text: string): string {
  const file = path.join(folder, `script${text.length}.mjs`);
  writeFileSync(file, text);
  return file;
}

describe('linesWithin()', () => {
  it('gives back every line that a script says, with what it was handed', async () => {
    const file = script(`console.log(process.argv[2]); console.log('two');`);
    expect(await linesWithin(file, ['a b'], 60_000)).toEqual(['a b', 'two']);
  });

  it('leaves a script behind that does not end, and keeps its whole lines', async () => {
    const file = script(`process.stdout.write('one\\nhal'); setInterval(() => {}, 1000);`);
    expect(await linesWithin(file, [], 3000)).toEqual(['one']);
  });

  it('has no lines of a script that is not there', async () => {
    expect(await linesWithin(path.join(folder, 'none.mjs'), [], 60_000)).toEqual([]);
  });
});
