import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { afterAll, beforeAll, beforeEach, expect, it, vi } from 'vitest';
import { auditInto } from '../../src/audit/auditInto.ts';
import { examinerHere, type Examiner } from '../../src/audit/examiner.ts';
import { examinerAside } from '../../src/audit/examinerAside.ts';
import type { AuditOptions } from '../../src/audit/options.ts';
import type { RecordingPictures } from '../../src/domain/pictures.ts';
import type { AuditDocument } from '../../src/document/auditDocument.ts';
import { openScratchFile } from '../../src/cache/scratchFile.ts';
import { makeMedia, scratchFolder, testPicture } from '../reading/madeMedia.ts';

const crashing = path.join(import.meta.dirname, 'crashingExaminer.mjs');
const scratch = await scratchFolder();
const sound = path.join(scratch.path, 'sound');
const damaged = path.join(scratch.path, 'damaged');
const log = path.join(scratch.path, 'crashes.log');
const generatedAt = '2026-05-14T20:00:00Z';

beforeAll(async () => {
  const still = path.join(scratch.path, 'still.jpg');
  await makeMedia(...testPicture('1', 1, '640x360'), '-frames:v', '1', still);
  // What stands behind the picture tells them apart: else they would be copies of one.
  const putStill = (folder: string, name: string): void =>
    writeFileSync(path.join(folder, `${name}.JPG`), Buffer.concat([readFileSync(still), Buffer.from(name)]));
  for (const folder of [sound, damaged]) {
    mkdirSync(folder);
    for (const name of ['STIL0001', 'STIL0002', 'CHANCE']) putStill(folder, name);
    await makeMedia(...testPicture('25', 1), '-c:v', 'libx264', path.join(folder, 'CLIP0001.MP4'));
    writeFileSync(
      path.join(folder, 'CLIP0002.MP4'),
      readFileSync(path.join(folder, 'CLIP0001.MP4')).subarray(0, 9000),
    );
  }
  for (const name of ['CRASHREAD', 'CRASHMEASURE', 'CRASHBESIDE']) putStill(damaged, name);
  // A file that changed less than two seconds ago is not remembered.
  await sleep(2200);
});

afterAll(() => scratch.remove());

beforeEach(() => {
  rmSync(log, { force: true });
  vi.stubEnv('CRASHES_LOG', log);
});

interface Audited {
  readonly document: AuditDocument;
  readonly pictures: readonly RecordingPictures[];
  readonly remembered: number | undefined;
}

async function audited(dump: string, examiner: Examiner, options: AuditOptions = {}): Promise<Audited> {
  const pictures: RecordingPictures[] = [];
  let remembered: number | undefined;
  const document = await auditInto({ scratch: openScratchFile(undefined), examiner }, dump, {
    generatedAt,
    atOnce: 3,
    onPictures: (made) => void pictures.push(made),
    onRemembered: (how) => (remembered = how.remembered),
    ...options,
  });
  pictures.sort((a, b) => (a.path < b.path ? -1 : 1));
  return { document: { ...document, recordings: [...document.recordings] }, pictures, remembered };
}

it('examines in another process as in this one: the same document, the same pictures', async () => {
  const here = await audited(sound, examinerHere);
  expect(here.document.recordings.length).toBe(4);
  expect(here.pictures.length).toBe(4);
  expect(here.document.problems.map(({ path: where }) => where)).toEqual(['CLIP0002.MP4']);
  expect(await audited(sound, examinerAside())).toEqual(here);
});

it('a file that crashes the process is a problem, and all others are audited as without it', async () => {
  const { document, pictures } = await audited(damaged, examinerAside(crashing));
  const without = await audited(sound, examinerHere);
  const soundPaths = new Set(without.document.recordings.map((one) => one.path));
  expect(document.recordings.filter((one) => soundPaths.has(one.path))).toEqual(without.document.recordings);
  expect(pictures.filter((one) => soundPaths.has(one.path))).toEqual(without.pictures);
  const others = document.recordings.filter((one) => !soundPaths.has(one.path));
  expect(others.map((one) => [one.path, one.facts.width?.value, one.picture !== undefined])).toEqual([
    ['CRASHBESIDE.JPG', 640, true],
    ['CRASHMEASURE.JPG', 640, false],
  ]);
  const problems = document.problems.filter((one) => one.path.startsWith('CRASH'));
  expect(problems.map((one) => [one.path, one.message])).toEqual([
    ['CRASHMEASURE.JPG', 'was read, but made the part of Halfturn that measures pictures crash (SIGSEGV)'],
    ['CRASHREAD.JPG', 'made the part of Halfturn that reads files crash (SIGSEGV)'],
  ]);
  for (const { hint } of problems) expect(hint).toMatch(/damaged/);
});

it('tries a file that was there when it crashed by itself, once, and then only to read it', async () => {
  await audited(damaged, examinerAside(crashing));
  const crashes = readFileSync(log, 'utf8').trim().split('\n');
  const of = (name: string) => crashes.filter((line) => line.startsWith(name));
  // One more of each where it was not first to crash what they were in together.
  expect(of('CRASHREAD').slice(-2)).toEqual(['CRASHREAD sampled', 'CRASHREAD off']);
  expect(of('CRASHREAD').length).toBeLessThanOrEqual(3);
  expect(of('CRASHMEASURE').length).toBeLessThanOrEqual(2);
  expect(of('CRASHBESIDE').length).toBeLessThanOrEqual(1);
});

it('remembers all but the files that crash, and those on which chance had a part', async () => {
  const cacheFolder = path.join(scratch.path, 'cache');
  const first = await audited(damaged, examinerAside(crashing), { cacheFolder });
  const again = await audited(damaged, examinerAside(crashing), { cacheFolder });
  expect(first.remembered).toBe(0);
  // Two stills, the one that crashes only beside others, the clip and the clip that was cut off.
  expect(again.remembered).toBe(5);
  expect(again.document).toEqual(first.document);
});

it('a program that cannot be started costs every file, and no more', async () => {
  const { document } = await audited(sound, examinerAside('/nowhere/at-all.mjs'));
  expect(document.recordings).toEqual([]);
  expect(document.problems.length).toBe(5);
});
