import { execFile, spawn } from 'node:child_process';
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openDatabase } from '../logbook/openDatabase.ts';
import { exampleDocument } from '../report/exampleDocument.ts';
import { sampleCard } from '../sampleCard.ts';

const program = path.resolve(import.meta.dirname, '../../bin/halfturn.js');
let scratch: string;

beforeEach(() => {
  scratch = mkdtempSync(path.join(tmpdir(), 'halfturn-targets-'));
  card('monday', 'AERO0001.JPG', 'AERO0002.JPG');
});
afterEach(() => rmSync(scratch, { recursive: true, force: true }));

const at = (...parts: string[]) => path.join(scratch, ...parts);
const environment = () => ({ PATH: process.env['PATH'] ?? '', HOME: scratch, NO_COLOR: '1' });

function card(name: string, ...stills: string[]): void {
  mkdirSync(at(name));
  for (const still of stills) cpSync(path.join(sampleCard, 'DCIM', '101_AERO', still), at(name, still));
}

interface Ran {
  readonly stdout: string;
  readonly stderr: string;
  readonly status: number;
}

function ran(command: string, ...args: string[]): Promise<Ran> {
  return new Promise((resolve) =>
    execFile(command, args, { env: environment(), cwd: scratch }, (error, stdout, stderr) =>
      resolve({ stdout, stderr, status: error === null ? 0 : Number(error.code) }),
    ),
  );
}

const audit = (...args: string[]) =>
  ran(process.execPath, program, 'audit', 'monday', '--measure', 'off', '--no-cache', ...args);

function flightsIn(file: string): number {
  const database = openDatabase(at(file), { readOnly: true });
  try {
    return database.prepare('SELECT count(*) FROM flights').pluck().get() as number;
  } finally {
    database.close();
  }
}

describe('an audit that cannot write', () => {
  it('its report prints the table, enters the flight and ends with 2', async () => {
    mkdirSync(at('out', 'report.html'), { recursive: true });
    const { stdout, stderr, status } = await audit('--out', 'out', '--logbook', 'l.sqlite');
    expect(status).toBe(2);
    expect(stdout).toMatch(/^monday: 2 stills/);
    expect(stdout).toMatch(/In the logbook: 1 flight with 2 recordings/);
    expect(stdout).not.toMatch(/The report is in/);
    expect(stderr).toMatch(/^halfturn: The report could not be written to "out": .*--out\.\n$/);
    expect(readdirSync(at('out'))).toEqual(['report.html']);
    expect(flightsIn('l.sqlite')).toBe(1);
  });

  it('its flight prints the table, writes the report and ends with 2', async () => {
    await audit('--logbook', 'l.sqlite', '--quiet');
    const database = openDatabase(at('l.sqlite'));
    database.exec("CREATE TRIGGER full BEFORE UPDATE ON recordings BEGIN SELECT RAISE(ABORT, 'no'); END");
    database.close();
    const { stdout, stderr, status } = await audit('--out', 'out', '--json', '--logbook', 'l.sqlite');
    expect(status).toBe(2);
    expect(JSON.parse(stdout)).toEqual(JSON.parse(readFileSync(at('out', 'audit.json'), 'utf8')));
    expect(stderr).toMatch(/^halfturn: The logbook "l\.sqlite" could not be used: no\./);
  });

  it.each([
    [['--out', 'file/out'], /The report could not be written to "file\/out"/],
    [['--logbook', 'file/l.sqlite'], /The logbook "file\/l\.sqlite" cannot be written/],
  ])('with %j says so before it looks at anything', async (args, sentence) => {
    writeFileSync(at('file'), '');
    const { stdout, stderr, status } = await audit(...args);
    expect([stdout, status]).toEqual(['', 2]);
    expect(stderr).toMatch(sentence);
  });

  it('says of the usual logbook once that it is left out, and is done', async () => {
    writeFileSync(at('.local'), '');
    const env = { ...environment(), XDG_DATA_HOME: at('.local', 'share') };
    const args = [program, 'audit', 'monday', '--measure', 'off', '--no-cache', '--quiet'];
    const stderr = await new Promise<string>((resolve, reject) => {
      execFile(process.execPath, args, { env, cwd: scratch }, (error, _, said) =>
        error === null ? resolve(said) : reject(error),
      );
    });
    expect(stderr.match(/The logbook is left out/g)).toHaveLength(1);
  });

  it('a word on standard output still writes the report and enters the flight', async () => {
    const command = `"$0" "$1" audit monday --measure off --no-cache --out out --logbook l.sqlite | true`;
    const { stderr, status } = await ran('sh', '-c', command, process.execPath, program);
    expect([stderr, status]).toEqual(['', 0]);
    expect(existsSync(at('out', 'report.html'))).toBe(true);
    expect(flightsIn('l.sqlite')).toBe(1);
  });

  it.skipIf(!existsSync('/dev/full'))(
    'its table on a full disk still writes the report, and ends with 2',
    async () => {
      const command = `"$0" "$1" audit monday --measure off --no-cache --out out --no-logbook > /dev/full`;
      const { stderr, status } = await ran('sh', '-c', command, process.execPath, program);
      expect(status).toBe(2);
      expect(stderr).toMatch(
        /^halfturn: What was found could not be written to standard output: the disk is full/,
      );
      expect(existsSync(at('out', 'report.html'))).toBe(true);
    },
  );
});

describe('an audit into a folder', () => {
  it('of another card leaves nothing that could be taken for the new one', async () => {
    card('tuesday', 'AERO0003.JPG');
    await audit('--out', 'out', '--no-logbook');
    await ran(process.execPath, program, 'audit', 'tuesday', '--no-cache', '--no-logbook', '--out', 'out');
    expect(readdirSync(at('out', 'xmp'))).toEqual(['AERO0003.JPG.xmp', 'AERO0003.xmp']);
  });

  it('leaves no folder behind where there is nothing to audit', async () => {
    mkdirSync(at('empty'));
    const { status } = await ran(process.execPath, program, 'audit', 'empty', '--out', 'new/deep');
    expect([status, existsSync(at('new'))]).toEqual([2, false]);
  });
});

it('a report that is interrupted while it is written leaves the earlier one and nothing else', async () => {
  const [clip] = exampleDocument.recordings;
  const recordings = Array.from({ length: 4000 }, (_, index) => ({ ...clip!, path: `CLIP${index}.MP4` }));
  writeFileSync(at('long.json'), JSON.stringify({ ...exampleDocument, recordings, sequences: [] }));
  writeFileSync(at('short.json'), JSON.stringify({ ...exampleDocument, sequences: [] }));
  await ran(process.execPath, program, 'report', 'short.json', '--out', 'out');
  const files = () => readdirSync(at('out'), { recursive: true, encoding: 'utf8' }).toSorted();
  const before = files();
  const list = readFileSync(at('out', 'files.sha256'), 'utf8');
  const child = spawn(process.execPath, [program, 'report', 'long.json', '--out', 'out'], {
    env: environment(),
    cwd: scratch,
    stdio: 'ignore',
  });
  const ended = new Promise<number | null>((resolve) => child.on('close', resolve));
  const isWriting = () => readdirSync(at('out')).some((name) => name.startsWith('.halfturn-'));
  while (!isWriting() && child.exitCode === null) await wait(5);
  child.kill('SIGINT');
  expect(await ended).toBe(130);
  expect(files()).toEqual(before);
  expect(readFileSync(at('out', 'files.sha256'), 'utf8')).toBe(list);
});
