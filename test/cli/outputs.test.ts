import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import {
  linkedPath,
  mediaAddress,
  refuseFileAsFolder,
  refuseOutputInsideDump,
} from '../../src/cli/outputs.ts';

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

describe('mediaAddress()', () => {
  it('leads from the report to the folder of the recordings, whatever its name', () => {
    mkdirSync(inScratch('my card #2'));
    writeFileSync(inScratch('my card #2', 'A.MP4'), '');
    expect(mediaAddress(inScratch('out', 'monday'), inScratch('my card #2'))).toBe('../../my%20card%20%232/');
    expect(mediaAddress(inScratch('out'), inScratch('my card #2', 'A.MP4'))).toBe('../my%20card%20%232/');
    expect(mediaAddress(inScratch('out'), inScratch('gone'))).toBeUndefined();
  });
});

describe('linkedPath()', () => {
  const stream = (isTTY: boolean) => ({ isTTY }) as NodeJS.WriteStream;

  it('is a link on a terminal and plain where no terminal reads it', () => {
    expect(linkedPath('out/report.html', stream(false))).toBe('out/report.html');
    const link = linkedPath('/a b/report.html', stream(true));
    expect(link.startsWith('\u001b]8;;file:///')).toBe(true);
    expect(link).toContain('/a%20b/report.html\u001b\\/a b/');
  });
});
