import { chmod, mkdir, readFile, utimes, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { compareAge, locateAll, locatePrograms, parseVersion } from '../../src/programs/locate.ts';
import { scratchFolder } from '../reading/madeMedia.ts';

const folder = await scratchFolder();
afterAll(() => folder.remove());

async function scripted(name: string, body: string): Promise<string> {
  const place = join(folder.path, name);
  await mkdir(place, { recursive: true });
  for (const program of ['ffprobe', 'ffmpeg']) {
    await writeFile(join(place, program), `#!/bin/sh\n${body.replaceAll('NAME', program)}\n`);
    await chmod(join(place, program), 0o755);
  }
  return place;
}

/** The packaged ffprobe is of the year before, the packaged ffmpeg older. */
const slowYear = 2024;
let future: string;
let ancient: string;
let slow: string;
let broken: string;
beforeAll(async () => {
  const says = (year: number, codec: string): string =>
    `echo "NAME version 99.1 Copyright (c) 2000-${year} the FFmpeg developers"; echo "libavcodec ${codec}.1.100 / ${codec}.1.100"`;
  future = await scripted('future', says(2099, '99'));
  ancient = await scripted('ancient', says(2009, '52'));
  slow = await scripted(
    'slow',
    `i=0; while [ $i -lt 200000 ]; do i=$((i + 1)); done; echo start >> '${join(folder.path, 'starts')}'; ${says(slowYear, '99')}`,
  );
  broken = await scripted('broken', 'exit 3');
});

test('locatePrograms() takes the one on the search path where it is newer', async () => {
  const { ffprobe } = await locatePrograms({ PATH: future });
  expect(ffprobe).toMatchObject({ origin: 'system', path: join(future, 'ffprobe'), libavcodecMajor: 99 });
});

test('locatePrograms() passes over one on the search path that is older than the packaged one', async (context) => {
  const packaged = (await locateAll({ PATH: '' })).filter(({ age }) => age !== undefined);
  if (packaged.length < 2) context.skip('the optional packages are not installed here');
  const { ffprobe, ffmpeg } = await locatePrograms({ PATH: ancient });
  expect([ffprobe.origin, ffmpeg.origin]).toEqual(['bundled', 'bundled']);
});

test('locatePrograms() passes over a newer one that starts slowly for a packaged one that is new enough, and only for such', async (context) => {
  const packaged = (await locateAll({ PATH: '' })).filter(({ age }) => age?.year !== undefined);
  if (packaged.length < 2) context.skip('the optional packages are not installed here');
  const { ffprobe, ffmpeg } = await locatePrograms({ PATH: slow });
  for (const program of [ffprobe, ffmpeg]) {
    const year = packaged.find(({ name }) => name === program.name)!.age!.year!;
    expect(program.origin).toBe(year >= slowYear - 1 ? 'bundled' : 'system');
  }
});

test('locatePrograms() remembers what a program said and how it started for as long as its file stays the same', async () => {
  const values = new Map<string, unknown>();
  const cache = {
    read: async (key: string) => values.get(key),
    write: async (key: string, value: unknown) => void values.set(key, value),
  };
  const starts = async () => (await readFile(join(folder.path, 'starts'), 'utf8')).split('\n').length - 1;
  const first = await locatePrograms({ PATH: slow }, cache);
  const before = await starts();
  expect(await locatePrograms({ PATH: slow }, cache)).toEqual(first);
  expect(await starts()).toBe(before);
  await utimes(join(slow, 'ffprobe'), 1, 1);
  expect(await locatePrograms({ PATH: slow }, cache)).toEqual(first);
  expect(await starts()).toBe(before + 1);
});

test('locateAll() says what a start takes of each that can be started', async () => {
  const all = await locateAll({ PATH: future });
  for (const { age, startMs } of all) expect(startMs === undefined).toBe(age === undefined);
});

test('locateAll() says why a program is not used', async () => {
  const found = await locateAll({ PATH: broken });
  expect(found.find(({ name, origin }) => name === 'ffmpeg' && origin === 'system')).toMatchObject({
    chosen: false,
    lacks: ['does not answer to -version'],
  });
});

test('a relative entry of the search path is not looked into', async () => {
  const found = await locateAll({ PATH: '.:' });
  expect(found.find(({ name, origin }) => name === 'ffprobe' && origin === 'system')).toMatchObject({
    lacks: ['not on the search path'],
  });
});

// First lines and library lines in the form that released and snapshot builds print.
function answer(version: string, year: number, codec: string): string {
  return `ffmpeg version ${version} Copyright (c) 2000-${year} the FFmpeg developers\nlibavcodec     ${codec} / ${codec}\n`;
}
const release = parseVersion(answer('5.1.9-0+deb12u1', 2026, '59. 37.100'))!;
const oldRelease = parseVersion(answer('4.1.3', 2019, '58. 35.100'))!;
const snapshot2018 = parseVersion(answer('N-47683-g0e8eb07980-static', 2018, '58. 42.100'))!;
const snapshot2023 = parseVersion(answer('N-66595-gc2b38619c0-static', 2023, '60. 22.100'))!;

test('parseVersion() reads a release and a snapshot', () => {
  expect(release).toEqual({ version: '5.1.9', year: 2026, libavcodec: [59, 37] });
  expect(snapshot2018).toEqual({ version: 'N-47683-g0e8eb07980-static', year: 2018, libavcodec: [58, 42] });
});

test('parseVersion() does not take another program for ffmpeg', () => {
  expect(parseVersion('bash version 5.2\nlibavcodec 1. 2.3 / 1. 2.3')).toBeUndefined();
});

test('a release that is maintained is newer than an abandoned snapshot with newer libraries', () => {
  expect(compareAge(release, snapshot2023)).toBeGreaterThan(0);
});

test('a release of 2019 is newer than a snapshot of 2018 and older than one of 2023', () => {
  expect(compareAge(oldRelease, snapshot2018)).toBeGreaterThan(0);
  expect(compareAge(oldRelease, snapshot2023)).toBeLessThan(0);
});

test('within a year the codec library decides', () => {
  const newer = parseVersion(answer('6.1', 2023, '60. 31.102'))!;
  expect(compareAge(newer, snapshot2023)).toBeGreaterThan(0);
  expect(compareAge(snapshot2023, newer)).toBeLessThan(0);
});
