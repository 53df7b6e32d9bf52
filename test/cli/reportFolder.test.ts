import { execFileSync } from 'node:child_process';
import {
  chmodSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { tryReportFolder, writeReport } from '../../src/cli/reportFolder.ts';

let scratch: string;
let complained: string;

beforeEach(() => {
  scratch = mkdtempSync(path.join(tmpdir(), 'halfturn-report-'));
  complained = '';
  vi.spyOn(process.stderr, 'write').mockImplementation((text) => ((complained += String(text)), true));
});

afterEach(() => {
  vi.restoreAllMocks();
  rmSync(scratch, { recursive: true, force: true });
});

const inScratch = (...parts: string[]) => path.join(scratch, ...parts);
/** Every file below a folder with its content, but for the list of the report. */
function contents(folder: string): Record<string, string> {
  const files = readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter(
    (name) => name !== 'files.sha256' && statSync(path.join(folder, name)).isFile(),
  );
  return Object.fromEntries(
    files.toSorted().map((name) => [name, readFileSync(path.join(folder, name), 'utf8')]),
  );
}
const firstCard = { 'page.html': 'first', 'xmp/A/1.xmp': 'a', 'xmp/A/2.xmp': 'b', 'webvtt/1.vtt': 'c' };
const secondCard = { 'page.html': 'second', 'xmp/A/1.xmp': 'd' };

describe('writeReport()', () => {
  it('writes whole files, replaces old ones and leaves nothing else behind', async () => {
    const out = inScratch('out', 'deep');
    await writeReport(out, Object.entries({ 'a.txt': 'old', 'b.txt': 'too' }));
    expect(contents(out)).toEqual({ 'a.txt': 'old', 'b.txt': 'too' });
    await writeReport(out, Object.entries({ 'a.txt': 'new', 'b.txt': 'two' }));
    expect(contents(out)).toEqual({ 'a.txt': 'new', 'b.txt': 'two' });
    expect(readdirSync(out).toSorted()).toEqual(['a.txt', 'b.txt', 'files.sha256']);
  });

  it('lists its files as sha256sum does', async () => {
    await writeReport(inScratch('out'), [['é/ä.txt', 'abc']]);
    // FIPS 180-2, appendix B.1: the digest of "abc".
    const digest = 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad';
    expect(readFileSync(inScratch('out', 'files.sha256'), 'utf8')).toBe(`${digest}  é/ä.txt\n`);
  });

  it('asks for a text when the one before is written', async () => {
    function* files(): Generator<readonly [string, string]> {
      yield ['a.txt', 'one'];
      expect(Object.values(contents(inScratch('pieces')))).toEqual(['one']);
      yield ['b.txt', 'whole'];
    }
    await writeReport(inScratch('pieces'), files());
    expect(contents(inScratch('pieces'))).toEqual({ 'a.txt': 'one', 'b.txt': 'whole' });
  });

  it('takes away what the report of another card left there, and nothing of anybody else', async () => {
    const out = inScratch('out');
    await writeReport(out, Object.entries(firstCard));
    writeFileSync(path.join(out, 'xmp', 'mine.xmp'), 'by hand');
    await writeReport(out, Object.entries(secondCard));
    expect(contents(out)).toEqual({ ...secondCard, 'xmp/mine.xmp': 'by hand' });
    expect(readdirSync(out).toSorted()).toEqual(['files.sha256', 'page.html', 'xmp']);
    expect(complained).toBe('');
  });

  it('leaves what was changed since, and says so once', async () => {
    const out = inScratch('out');
    await writeReport(out, Object.entries(firstCard));
    writeFileSync(path.join(out, 'xmp/A/2.xmp'), 'with stars');
    await writeReport(out, Object.entries(secondCard));
    expect(contents(out)).toEqual({ ...secondCard, 'xmp/A/2.xmp': 'with stars' });
    expect(complained).toMatch(/^halfturn: xmp\/A\/2\.xmp in .* was changed since, so it was left there\./);
    complained = '';
    await writeReport(out, Object.entries(secondCard));
    expect(complained).toBe('');
  });

  it('touches nothing outside its folder, whatever the list there says', async () => {
    const out = inScratch('out');
    mkdirSync(out);
    mkdirSync(inScratch('private'));
    const list = ['../private/abc', 'door/abc', inScratch('private', 'abc')];
    writeFileSync(inScratch('private', 'abc'), 'abc');
    symlinkSync(inScratch('private'), path.join(out, 'door'));
    const digest = 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad';
    writeFileSync(path.join(out, 'files.sha256'), list.map((name) => `${digest}  ${name}\n`).join(''));
    await writeReport(out, Object.entries(secondCard));
    expect(contents(inScratch('private'))).toEqual({ abc: 'abc' });
  });

  it('leaves an earlier report as it was where the new one cannot be written', async () => {
    const out = inScratch('out');
    await writeReport(out, Object.entries(firstCard));
    const before = contents(out);
    const list = readFileSync(path.join(out, 'files.sha256'), 'utf8');
    // A file cannot lie below another one, which shows when half of the report is written.
    const failing = Object.entries({ ...secondCard, 'page.html/below': 'never' });
    await expect(writeReport(out, failing)).rejects.toThrow(/could not be written.*Nothing of it is left/);
    expect(contents(out)).toEqual(before);
    expect(readFileSync(path.join(out, 'files.sha256'), 'utf8')).toBe(list);
  });

  it('takes back what was put in place already where the rest cannot be', async () => {
    const out = inScratch('out');
    await writeReport(out, Object.entries(firstCard));
    mkdirSync(path.join(out, 'z.csv'));
    const before = contents(out);
    const failing = Object.entries({ ...secondCard, 'new/1.vtt': 'e', 'z.csv': 'f' });
    await expect(writeReport(out, failing)).rejects.toThrow(/"[^"]*z\.csv" is a folder/);
    expect(contents(out)).toEqual(before);
    expect(readdirSync(out).toSorted()).toEqual(['files.sha256', 'page.html', 'webvtt', 'xmp', 'z.csv']);
  });

  it('leaves no folder that it made where it fails', async () => {
    const failing = Object.entries({ 'a.txt': 'a', 'a.txt/b': 'b' });
    await expect(writeReport(inScratch('out', 'deep'), failing)).rejects.toThrow(/could not be written/);
    expect(readdirSync(scratch)).toEqual([]);
  });

  it('blames the folder for nothing that went wrong in a text, and leaves no half of it', async () => {
    function* broken(): Generator<readonly [string, string]> {
      yield ['a.txt', 'half'];
      throw new RangeError('a fault of ours');
    }
    await expect(writeReport(inScratch('half'), broken())).rejects.toThrow(RangeError);
    expect(readdirSync(scratch)).toEqual([]);
  });

  it('takes away what a killed one left a day ago, and not what another one is writing', async () => {
    const out = inScratch('out');
    const folders = ['.halfturn-aaaaaa', '.halfturn-bbbbbb', '.halfturn-of-mine'];
    for (const name of folders) mkdirSync(path.join(out, name), { recursive: true });
    const longAgo = new Date(Date.now() - 25 * 3_600_000);
    for (const name of [folders[0]!, folders[2]!]) utimesSync(path.join(out, name), longAgo, longAgo);
    await writeReport(out, Object.entries(secondCard));
    expect(readdirSync(out).filter((name) => name.startsWith('.'))).toEqual(folders.slice(1));
  });
});

describe('tryReportFolder()', () => {
  it('leaves nothing behind, neither in a folder that is there nor where none was', () => {
    mkdirSync(inScratch('there'));
    tryReportFolder(inScratch('there'));
    tryReportFolder(inScratch('not', 'there', 'yet'));
    expect(readdirSync(scratch)).toEqual(['there']);
    expect(readdirSync(inScratch('there'))).toEqual([]);
  });

  it('says in one sentence where nothing can be made', () => {
    writeFileSync(inScratch('file'), '');
    expect(() => tryReportFolder(inScratch('file', 'out'))).toThrow(
      /could not be written to .*a part of its path is a file/,
    );
  });

  it.skipIf(process.platform !== 'linux')('says so at once below /proc', () => {
    expect(() => tryReportFolder('/proc/nothing/here')).toThrow(/could not be written/);
  });

  it.skipIf(process.getuid?.() === 0)('refuses a folder that may not be written to', () => {
    mkdirSync(inScratch('closed'));
    chmodSync(inScratch('closed'), 0o500);
    expect(() => tryReportFolder(inScratch('closed'))).toThrow(/EACCES/);
  });
});

function canMount(): boolean {
  const folder = mkdtempSync(path.join(tmpdir(), 'halfturn-mount-'));
  try {
    execFileSync('mount', ['-t', 'tmpfs', '-o', 'size=64k', 'none', folder], { stdio: 'ignore' });
    execFileSync('umount', [folder], { stdio: 'ignore' });
    return true;
  } catch {
    return false;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

describe.skipIf(!canMount())('on a disk of 256 KB', () => {
  let disk: string;

  beforeEach(() => {
    disk = inScratch('disk');
    mkdirSync(disk);
    execFileSync('mount', ['-t', 'tmpfs', '-o', 'size=256k', 'none', disk]);
  });
  afterEach(() => void execFileSync('umount', [disk]));

  it('a report that does not fit leaves the earlier one, and says to make room', async () => {
    await writeReport(disk, Object.entries(firstCard));
    const before = contents(disk);
    const large = 'x'.repeat(400_000);
    const failing = writeReport(disk, [
      ['page.html', 'second'],
      ['audit.json', large],
    ]);
    await expect(failing).rejects.toMatchObject({
      message: expect.stringMatching(/the disk is full/) as string,
      hint: expect.stringMatching(/^Make room there/) as string,
    });
    expect(contents(disk)).toEqual(before);
  });

  it('is refused before anything is measured once it is full', () => {
    writeFileSync(path.join(disk, 'ballast'), Buffer.alloc(240 << 10));
    expect(() => tryReportFolder(path.join(disk, 'out'))).toThrow(/the disk is full/);
    expect(readdirSync(disk)).toEqual(['ballast']);
  });
});
