import {
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { refuseFileAsFolder, refuseOutputInsideDump, writeOutputs } from '../../src/cli/outputs.ts';

let scratch: string;

beforeEach(() => {
  scratch = mkdtempSync(path.join(tmpdir(), 'halfturn-outputs-'));
  mkdirSync(path.join(scratch, 'card', 'DCIM'), { recursive: true });
});

afterEach(() => rmSync(scratch, { recursive: true, force: true }));

const inScratch = (...parts: string[]) => path.join(scratch, ...parts);

describe('refuseOutputInsideDump()', () => {
  it.each(['card', 'card/report', 'card/DCIM/deeper/still', 'card/..report', 'elsewhere/../card/report'])(
    'refuses %s',
    async (folder) => {
      await expect(refuseOutputInsideDump(inScratch(folder), inScratch('card'))).rejects.toThrow(
        /lies inside the dump/,
      );
    },
  );

  it('refuses a way in through a link', async () => {
    symlinkSync(inScratch('card'), inScratch('door'));
    await expect(refuseOutputInsideDump(inScratch('door', 'report'), inScratch('card'))).rejects.toThrow(
      /inside/,
    );
  });

  it.each(['card-report', 'reports/card', '..card'])('lets %s be', async (folder) => {
    await expect(refuseOutputInsideDump(inScratch(folder), inScratch('card'))).resolves.toBeUndefined();
  });

  it('leaves a dump that does not exist, or is one file, to others', async () => {
    writeFileSync(inScratch('one.mp4'), '');
    await expect(refuseOutputInsideDump(inScratch('report'), inScratch('nowhere'))).resolves.toBeUndefined();
    await expect(refuseOutputInsideDump(inScratch('report'), inScratch('one.mp4'))).resolves.toBeUndefined();
  });
});

describe('refuseFileAsFolder()', () => {
  it('refuses a file, and nothing that is a folder or not there', async () => {
    writeFileSync(inScratch('one.mp4'), '');
    await expect(refuseFileAsFolder(inScratch('one.mp4'))).rejects.toThrow(/is a file/);
    await expect(refuseFileAsFolder(inScratch('card'))).resolves.toBeUndefined();
    await expect(refuseFileAsFolder(inScratch('nowhere', 'report'))).resolves.toBeUndefined();
  });
});

describe('writeOutputs()', () => {
  it.skipIf(process.platform !== 'linux')('says at once where no folder can be made', async () => {
    const files = Object.entries({ 'a.txt': 'a' });
    await expect(writeOutputs('/proc/nothing/here', files)).rejects.toThrow(/could not be written/);
  });

  it('writes whole files, replaces old ones and leaves nothing temporary behind', async () => {
    await writeOutputs(inScratch('out', 'deep'), Object.entries({ 'a.txt': 'old', 'b.txt': 'two' }));
    await writeOutputs(inScratch('out', 'deep'), Object.entries({ 'a.txt': 'new' }));
    expect(readdirSync(inScratch('out', 'deep')).toSorted()).toEqual(['a.txt', 'b.txt']);
    expect(readFileSync(inScratch('out', 'deep', 'a.txt'), 'utf8')).toBe('new');
  });

  it('asks for a text when the one before is written', async () => {
    function* files(): Generator<readonly [string, Iterable<string>]> {
      yield ['a.txt', ['in ', 'pieces']];
      expect(readFileSync(inScratch('pieces', 'a.txt'), 'utf8')).toBe('in pieces');
      yield ['b.txt', 'whole'];
    }
    await writeOutputs(inScratch('pieces'), files());
    expect(readFileSync(inScratch('pieces', 'b.txt'), 'utf8')).toBe('whole');
  });

  it('blames the folder for nothing that went wrong in a text, and leaves no half of it', async () => {
    function* broken(): Generator<string> {
      yield 'half';
      throw new RangeError('a fault of ours');
    }
    await expect(writeOutputs(inScratch('half'), [['a.txt', broken()]])).rejects.toThrow(RangeError);
    expect(readdirSync(inScratch('half'))).toEqual([]);
  });

  it('says in one sentence where it could not write', async () => {
    writeFileSync(inScratch('file'), '');
    await expect(writeOutputs(inScratch('file', 'out'), Object.entries({ 'a.txt': '' }))).rejects.toThrow(
      /could not be written to/,
    );
  });
});
