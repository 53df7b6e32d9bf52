import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { audit } from '../../src/audit/audit.ts';
import { makeMedia, scratchFolder, testPicture } from '../reading/madeMedia.ts';

const scratch = await scratchFolder();
afterAll(() => scratch.remove());

const samples = 300;
const card = path.join(scratch.path, 'card');
const subtitle = (at: number): string =>
  `${at + 1}\n00:00:${(at / 100).toFixed(3).padStart(6, '0').replace('.', ',')} --> ` +
  `00:00:${((at + 1) / 100).toFixed(3).padStart(6, '0').replace('.', ',')}\n[iso : 100] [shutter : 1/${100 + at}]\n\n`;

beforeAll(async () => {
  mkdirSync(card);
  await makeMedia(...testPicture('100', 3, '64x36'), path.join(card, 'CLIP0001.MP4'));
  writeFileSync(
    path.join(card, 'CLIP0001.SRT'),
    Array.from({ length: samples }, (_, at) => subtitle(at)).join(''),
  );
  const still = path.join(scratch.path, 'still.jpg');
  await makeMedia(...testPicture('1', 1, '64x36'), '-frames:v', '1', still);
  // What stands behind the picture tells them apart: else they would be copies of one.
  for (let at = 0; at < 100; at++)
    writeFileSync(
      path.join(card, `STIL${1000 + at}.JPG`),
      Buffer.concat([readFileSync(still), Buffer.from([at])]),
    );
});

test('a hundred stills take no room from the time line of the one clip beside them', async () => {
  const { recordings } = await audit(card, { measure: 'off' });
  expect(recordings).toHaveLength(101);
  const clip = recordings.find(({ kind }) => kind === 'clip');
  expect(clip?.track?.samples).toBe(samples);
  expect(clip?.track?.timeline).toHaveLength(samples);
});
