import { execFile } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { withPlainPath } from '../../src/cli/flags.ts';
import { jsonReport } from '../../src/report/files/jsonReport.ts';
import { exampleDocument } from '../report/exampleDocument.ts';

const bin = path.resolve(import.meta.dirname, '../../bin/halfturn.js');
let scratch: string;

beforeAll(() => {
  scratch = mkdtempSync(path.join(tmpdir(), 'halfturn-messages-'));
  writeFileSync(path.join(scratch, 'audit.json'), jsonReport(exampleDocument));
});
afterAll(() => rmSync(scratch, { recursive: true, force: true }));

function halfturn(...args: readonly string[]): Promise<{ stdout: string; stderr: string; status: number }> {
  const env = { PATH: process.env['PATH'] ?? '', HOME: scratch, NO_COLOR: '1' };
  return new Promise((resolve) => {
    execFile(process.execPath, [bin, ...args], { env, cwd: scratch }, (error, stdout, stderr) =>
      resolve({ stdout, stderr, status: error === null ? 0 : Number(error.code) }),
    );
  });
}

describe('a command line that is not whole', () => {
  it.each([['show'], ['report'], ['kit', 'add'], ['audit', '--out'], ['logbook', 'show']])(
    '%s %s shows the help of that command',
    async (...args) => {
      const { stderr, status } = await halfturn(...args);
      const command = args.filter((word) => !word.startsWith('-')).join(' ');
      expect(stderr).toMatch(/^halfturn: /);
      expect(stderr).toContain(`\nUsage: halfturn ${command} `);
      expect(status).toBe(2);
    },
  );

  it('a word too many names the command whose help tells more', async () => {
    expect((await halfturn('kit', 'ND16')).stderr).toContain('Run "halfturn kit --help"');
    expect((await halfturn('kit', 'add', '--sideways')).stderr).toContain('Run "halfturn kit add --help"');
  });

  it.each([['-h'], ['audit', '-h'], ['kit', 'add', '-h']])('%s %s %s prints help', async (...args) => {
    const { stdout, status } = await halfturn(...args);
    expect(stdout).toMatch(/^Usage: halfturn/);
    expect(status).toBe(0);
  });
});

describe('a file that is not there', () => {
  it.each([
    ['report', 'none.json', '--out', 'x'],
    ['report', 'none.json'],
    ['audit', '.', '--settings', 'none.toml'],
    ['audit', '.', '--notes', 'none.toml'],
    ['show', 'none.mp4'],
    ['logbook', 'import', 'none.json'],
  ])('%s %s is said in plain words', async (...args) => {
    const { stderr, status } = await halfturn(...args);
    expect(stderr).toMatch(/none\.(?:json|toml|mp4)/);
    expect(stderr).not.toMatch(/ENOENT|no such file or directory, open/);
    expect(status).toBe(2);
  });

  it('a report without a folder looks at its file first', async () => {
    expect((await halfturn('report', 'none.json')).stderr).toContain('it is not there');
    expect((await halfturn('report', 'audit.json')).stderr).toContain('--out <folder>');
  });
});

it('takes the address of a file for its path, alone and behind an option', () => {
  const file = path.join(scratch, 'a b.json');
  const address = pathToFileURL(file).href;
  expect(withPlainPath(address)).toBe(file);
  expect(withPlainPath(`--out=${address}`)).toBe(`--out=${file}`);
  expect(withPlainPath('ND16')).toBe('ND16');
  if (process.platform !== 'win32')
    expect(() => withPlainPath('file://elsewhere/a')).toThrow(/no address of a file/);
});

it('reads a report from an address', async () => {
  const address = pathToFileURL(path.join(scratch, 'audit.json')).href;
  const { stdout, status } = await halfturn('report', address, '--out', 'again');
  expect(stdout).toContain('The report is in again');
  expect(status).toBe(0);
});
