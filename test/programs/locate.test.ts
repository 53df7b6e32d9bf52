import { chmod, mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { locateAll, locatePrograms } from '../../src/programs/locate.ts';
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

let future: string;
let ancient: string;
let broken: string;
beforeAll(async () => {
  const says = (year: number, codec: string): string =>
    `echo "NAME version 99.1 Copyright (c) 2000-${year} the FFmpeg developers"; echo "libavcodec ${codec}.1.100 / ${codec}.1.100"`;
  future = await scripted('future', says(2099, '99'));
  ancient = await scripted('ancient', says(2009, '52'));
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
