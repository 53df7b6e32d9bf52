import { execFileSync } from 'node:child_process';
import { lstatSync, mkdtempSync, readFileSync, readdirSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { inflateSync } from 'node:zlib';
import { ExifTool } from 'exiftool-vendored';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { buildHostile, removeHostile } from '../../sample-media-generator/hostile/build.ts';
import type { HostileCase } from '../../sample-media-generator/hostile/cases.ts';
import { deflatedRun } from '../../sample-media-generator/hostile/deflatedRun.ts';

let folder = '';
let cases: readonly HostileCase[] = [];

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'hostile-'));
  cases = await buildHostile(folder);
});

afterAll(() => removeHostile(folder));

const whole = (path: Buffer) => Buffer.concat([Buffer.from(`${folder}/`), path]);

function stat(name: string) {
  const found = cases.find((each) => each.name === name);
  if (found === undefined) throw new Error(`no case ${name} was made`);
  return lstatSync(whole(found.path));
}

describe('buildHostile()', () => {
  test('makes at least 75 cases, each once, and each is there', () => {
    expect(cases.length).toBeGreaterThanOrEqual(75);
    expect(new Set(cases.map(({ name }) => name)).size).toBe(cases.length);
    for (const { path } of cases) expect(lstatSync(whole(path))).toBeDefined();
  });

  test('takes less than 150 MB of disk', () => {
    const [kibibytes = ''] = execFileSync('du', ['-sk', folder], { encoding: 'utf8' }).split('\t');
    expect(Number(kibibytes) * 1024).toBeLessThan(150e6);
  });

  test('names are printable, whatever bytes the files have', () => {
    for (const { name } of cases) expect(name).toMatch(/^[ -~]+$/);
    expect(cases.some(({ path }) => path.includes(0x0a))).toBe(true);
    expect(cases.some(({ path }) => path.includes(0x1b))).toBe(true);
    expect(cases.some(({ path }) => path.includes('\u202E'))).toBe(true);
  });

  test('no two good recordings are copies of one another', () => {
    const regular = cases.map(({ path }) => whole(path)).filter((path) => lstatSync(path).isFile());
    const small = regular.filter((path) => lstatSync(path).size > 0 && lstatSync(path).size < 100_000);
    const contents = small.map((path) => readFileSync(path).toString('latin1'));
    expect(contents.length).toBeGreaterThan(75);
    expect(new Set(contents).size).toBe(contents.length);
  });

  // Only Linux keeps names as bytes.
  test.runIf(process.platform === 'linux')('one name is not UTF-8', () => {
    const notText = cases.filter(({ path }) => !Buffer.from(path.toString()).equals(path));
    expect(notText.map(({ name }) => name)).toEqual(['raw\\xff\\xfe\\xc0\\x80.jpg']);
  });

  test('special files are what they claim to be', () => {
    expect(stat('PIPE0001.JPG').isFIFO()).toBe(true);
    expect(stat('SOCK0001.JPG').isSocket()).toBe(true);
    expect(stat('LINK0003.JPG').isSymbolicLink()).toBe(true);
  });

  test('sparse files claim what they do not take', () => {
    expect(stat('MOVS0021.MP4').size).toBeGreaterThan(100e9);
    expect(stat('MOVS0021.MP4').blocks * 512).toBeLessThan(1e6);
  });

  test('a long path reaches deeper than a path can name', () => {
    expect(readdirSync(join(folder, 'TREE0001'))[0]).toHaveLength(200);
    const deep = execFileSync('find', ['TREE0001', '-name', 'DEEP0001.JPG'], {
      cwd: folder,
      encoding: 'utf8',
    });
    expect(deep.length).toBeGreaterThan(60 * 200);
  });

  test('the good neighbours carry their truth', async () => {
    const exiftool = new ExifTool({ maxProcs: 1 });
    try {
      const good = cases.filter(({ truth }) => truth !== undefined);
      expect(good).toHaveLength(3);
      for (const { path, truth } of good) {
        const found = await exiftool.readRaw(whole(path).toString(), { readArgs: ['-n'] });
        expect(found).toMatchObject({ FNumber: truth?.fNumber, ISO: truth?.iso });
        expect(Number(found['ExposureTime'])).toBeCloseTo(truth!.exposureSeconds, 9);
      }
    } finally {
      await exiftool.end();
    }
  });

  test('a handler name spells another frame rate', () => {
    const bytes = readFileSync(join(folder, 'MOVS0009.MP4'));
    expect(bytes.includes('h\navg_frame_rate=240/1\nwidth=99999')).toBe(true);
  });

  test('the bombs are well formed but for their size', async () => {
    const found = await sharp(join(folder, 'PNGS0001.PNG')).metadata();
    expect([found.width, found.height]).toEqual([1023, 1024]);
  });
});

test('deflatedRun() unpacks to the run it names', () => {
  expect(inflateSync(deflatedRun(0x41, 2)).equals(Buffer.alloc(2 << 20, 0x41))).toBe(true);
});
