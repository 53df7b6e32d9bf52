import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { pathToFileURL } from 'node:url';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { audit } from '../../src/audit/audit.ts';
import type { Examined, Work } from '../../src/audit/examine.ts';
import type { AuditOptions } from '../../src/audit/options.ts';
import { openWorkers, type Workers } from '../../src/audit/workers.ts';
import type { AuditDocument } from '../../src/document/auditDocument.ts';
import { defaultLimits } from '../../src/domain/limits.ts';
import type { RecordingPictures } from '../../src/domain/measurement.ts';
import { locatePrograms } from '../../src/programs/locate.ts';
import { readDump } from '../../src/reading/dump.ts';
import { ends } from '../programs/alive.ts';
import { makeMedia, scratchFolder, testPicture } from '../reading/madeMedia.ts';

const troubles = `--import ${pathToFileURL(path.join(import.meta.dirname, 'troubles.mjs')).href}`;
const scratch = await scratchFolder();
const sound = path.join(scratch.path, 'sound');
const damaged = path.join(scratch.path, 'damaged');
const troubling = path.join(scratch.path, 'troubling');
const log = path.join(scratch.path, 'troubles.log');
const generatedAt = '2026-05-14T20:00:00Z';

beforeAll(async () => {
  const still = path.join(scratch.path, 'still.jpg');
  await makeMedia(...testPicture('1', 1, '640x360'), '-frames:v', '1', still);
  // What stands behind the picture tells them apart: else they would be copies of one.
  const putStill = (folder: string, name: string): void =>
    writeFileSync(path.join(folder, `${name}.JPG`), Buffer.concat([readFileSync(still), Buffer.from(name)]));
  for (const folder of [sound, damaged, troubling]) mkdirSync(folder);
  for (const folder of [sound, damaged]) {
    for (const name of ['STIL0001', 'STIL0002', 'STIL0003']) putStill(folder, name);
    await makeMedia(...testPicture('25', 1), '-c:v', 'libx264', path.join(folder, 'CLIP0001.MP4'));
    writeFileSync(
      path.join(folder, 'CLIP0002.MP4'),
      readFileSync(path.join(folder, 'CLIP0001.MP4')).subarray(0, 9000),
    );
  }
  for (const name of ['CRASHREAD', 'CRASHMEASURE']) putStill(damaged, name);
  for (const name of ['CRASHREAD', 'EXIT', 'LATER', 'MEMORY', 'HANGREAD', 'HANGMEASURE', 'SOUND1', 'SOUND2'])
    putStill(troubling, name);
  await makeMedia(...testPicture('25', 1, '320x180'), '-c:v', 'libx264', path.join(troubling, 'SLOW.MP4'));
  // A file that changed less than two seconds ago is not cached.
  await sleep(2200);
});

afterAll(() => scratch.remove());

beforeEach(() => {
  rmSync(log, { force: true });
  vi.stubEnv('TROUBLE_LOG', log);
  vi.stubEnv('NODE_OPTIONS', troubles);
});

afterEach(() => vi.unstubAllEnvs());

/** Files that made trouble, or were to, in the order in which they were opened, each with the process. */
function logged(): readonly (readonly [name: string, pid: number, trimThreshold: string])[] {
  const lines = readFileSync(log, 'utf8').trim().split('\n');
  return lines.map((line) => line.split(' ')).map(([name = '', pid, trim = '']) => [name, Number(pid), trim]);
}

describe('an audit', () => {
  interface Audited {
    readonly document: AuditDocument;
    readonly pictures: readonly RecordingPictures[];
    readonly fromCache: number | undefined;
  }

  async function audited(dump: string, options: AuditOptions = {}): Promise<Audited> {
    const pictures: RecordingPictures[] = [];
    let fromCache: number | undefined;
    const document = await audit(dump, {
      generatedAt,
      workers: 3,
      onPictures: (made) => void pictures.push(made),
      onCacheUse: (use) => (fromCache = use.fromCache),
      ...options,
    });
    pictures.sort((a, b) => (a.path < b.path ? -1 : 1));
    return { document, pictures, fromCache };
  }

  it('gives the same document and the same pictures with one worker and with three', async () => {
    const alone = await audited(sound, { workers: 1 });
    expect(alone.document.recordings.length).toBe(4);
    expect(alone.pictures.length).toBe(4);
    expect(alone.document.problems.map(({ path: where }) => where)).toEqual(['CLIP0002.MP4']);
    expect(await audited(sound)).toEqual(alone);
  });

  it('names a file that crashes a worker as a problem, and audits all others as without it', async () => {
    const { document, pictures } = await audited(damaged);
    const without = await audited(sound);
    const soundPaths = new Set(without.document.recordings.map((one) => one.path));
    expect(document.recordings.filter((one) => soundPaths.has(one.path))).toEqual(
      without.document.recordings,
    );
    expect(pictures.filter((one) => soundPaths.has(one.path))).toEqual(without.pictures);
    const others = document.recordings.filter((one) => !soundPaths.has(one.path));
    expect(others.map((one) => [one.path, one.facts.width?.value, one.picture !== undefined])).toEqual([
      ['CRASHMEASURE.JPG', 640, false],
    ]);
    const problems = document.problems.filter((one) => one.path.startsWith('CRASH'));
    expect(problems.map((one) => [one.path, one.message])).toEqual([
      ['CRASHMEASURE.JPG', 'was read, but made the part of Halfturn that measures pictures crash (SIGSEGV)'],
      ['CRASHREAD.JPG', 'made the part of Halfturn that reads files crash (SIGSEGV)'],
    ]);
    for (const { hint } of problems) expect(hint).toMatch(/damaged/);
    // Each once to be read, and the one that could be once more to be measured.
    const opened = (wanted: string) => logged().filter(([name]) => name === wanted).length;
    expect([opened('CRASHREAD'), opened('CRASHMEASURE')]).toEqual([1, 2]);
  });

  it('tells what was recorded of every file before the first picture is measured, and how much of the work is done', async () => {
    const heard: string[] = [];
    const fractions: number[] = [];
    await audited(sound, {
      workers: 2,
      onStart: ({ clips, stills }) => void heard.push(`${clips} clips, ${stills} stills`),
      onRead: ({ path: at, facts }) => void heard.push(`${at} ${facts.width?.value}`),
      onProgress: ({ workFraction }) => void (workFraction === undefined ? 0 : fractions.push(workFraction)),
    });
    expect(heard[0]).toBe('2 clips, 3 stills');
    expect(heard.slice(1).toSorted()).toEqual([
      'CLIP0001.MP4 320',
      'STIL0001.JPG 640',
      'STIL0002.JPG 640',
      'STIL0003.JPG 640',
    ]);
    expect(fractions).toHaveLength(4);
    expect(fractions).toEqual(fractions.toSorted((a, b) => a - b));
    expect(fractions.at(-1)).toBe(1);
  });

  it('caches all but the files that crash a worker', async () => {
    const cacheFolder = path.join(scratch.path, 'cache');
    const first = await audited(damaged, { cacheFolder });
    const again = await audited(damaged, { cacheFolder });
    expect([first.fromCache, again.fromCache]).toEqual([0, 5]);
    expect(again.document).toEqual(first.document);
  });
});

describe('workers', () => {
  const opened: Workers[] = [];
  afterEach(() => opened.splice(0).forEach((workers) => workers.end()));

  function opening(...how: Parameters<typeof openWorkers>): Workers {
    const workers = openWorkers(...how);
    opened.push(workers);
    return workers;
  }

  async function task(name: string, mode: Work['mode'] = 'sampled') {
    const { entries } = await readDump(troubling);
    const entry = entries.find((one) => one.path === name)!;
    const work = { ...(await locatePrograms()), limits: defaultLimits, checkShutter: false, pictures: false };
    return { entry, work: { ...work, mode } };
  }

  const messages = ({ problems }: Examined) => problems.map(({ message }) => message);
  const short = { stillBytes: 150e6, stillMs: 6000, stillMsPerByte: 0 };

  it.each([
    ['exits', 'EXIT', /\(exit status 7\)$/],
    ['fails outside of a file', 'LATER', /\(TypeError: nobody waits for this\)$/],
    ['has no memory left', 'MEMORY', /\((?:SIGABRT|exit status 134)\)$/],
  ])('one that %s says so', async (_, name, how) => {
    vi.stubEnv('NODE_OPTIONS', `${troubles} --max-old-space-size=60`);
    const examined = await opening().examine(await task(`${name}.JPG`, 'off'));
    expect(messages(examined)).toEqual([expect.stringMatching(how)]);
    expect(examined.transient).toBe(true);
  });

  it('one whose script is not there costs every file, and no more', async () => {
    const { examine } = opening(undefined, '/nowhere/at-all.mjs');
    const crash = 'made the part of Halfturn that reads files crash (exit status 1)';
    expect(messages(await examine(await task('SOUND1.JPG')))).toEqual([crash]);
  });

  it('one for which there is no program to run it says so, and is started once there is', async () => {
    const { examine } = opening();
    const sound = await task('SOUND1.JPG', 'off');
    const node = process.execPath;
    process.execPath = '/nowhere/at-all';
    try {
      expect(messages(await examine(sound))).toEqual([expect.stringMatching(/ENOENT/)]);
    } finally {
      process.execPath = node;
    }
    expect((await examine(sound)).recording?.facts.width?.value).toBe(640);
  });

  it('one examines file after file, until one ends it', async () => {
    const { examine } = opening();
    for (const name of ['SOUND1', 'SOUND2', 'CRASHREAD', 'SOUND1'])
      await examine(await task(`${name}.JPG`, 'off'));
    const pids = logged().map(([, pid]) => pid);
    expect([pids[1], pids[2]]).toEqual([pids[0], pids[0]]);
    expect(pids[3]).not.toBe(pids[0]);
  });

  it('one in which a still hangs is ended, the file named, and what can be read of it stands', async () => {
    const { examine } = opening(short);
    const [hangs, halfHangs, isSound] = await Promise.all(
      ['HANGREAD', 'HANGMEASURE', 'SOUND1'].map(async (name) => examine(await task(`${name}.JPG`))),
    );
    expect(messages(hangs!)).toEqual(['took too long to read and was given up']);
    expect(messages(halfHangs!)).toEqual([
      'was read, but its picture took too long to decode and was given up',
    ]);
    expect(halfHangs!.recording?.facts.width?.value).toBe(640);
    expect([hangs!.transient, halfHangs!.transient]).toEqual([true, true]);
    expect(isSound!.measurement).toBeDefined();
    // Another one read what the last one hung in.
    const hung = logged().filter(([name]) => name.startsWith('HANG'));
    for (const [name, pid] of hung) if (name === 'HANGREAD') expect(await ends(pid)).toBe(true);
    expect(await ends(hung.find(([name]) => name === 'HANGMEASURE')![1])).toBe(true);
  });

  it('one that takes longer for a clip is not ended', async () => {
    const { recording, measurement } = await opening({ ...short, stillMs: 500 }).examine(
      await task('SLOW.MP4'),
    );
    expect(recording?.kind).toBe('clip');
    expect(measurement).toBeDefined();
  });

  it('decode stills one after another where there is room for one, also behind one that hangs', async () => {
    const { examine } = opening({ ...short, stillBytes: 1 });
    const names = ['HANGMEASURE', 'SOUND1', 'SOUND2'];
    const all = await Promise.all(names.map(async (name) => examine(await task(`${name}.JPG`))));
    expect(all.map(({ measurement }) => measurement !== undefined)).toEqual([false, true, true]);
  });

  it('that are ended take no more files, and leave what they were at', async () => {
    const { examine, end } = opening();
    const waiting = examine(await task('HANGREAD.JPG'));
    const reason = waiting.catch((error: unknown) => error);
    await vi.waitFor(() => expect(logged()).toHaveLength(1), 10_000);
    end();
    expect(await reason).toBeInstanceOf(Error);
    expect(await ends(logged()[0]![1])).toBe(true);
    await expect(examine(await task('SOUND1.JPG'))).rejects.toThrow('ended');
  });

  it('are told to keep the heaps of the C library small, unless somebody told otherwise', async () => {
    await opening().examine(await task('SOUND1.JPG', 'off'));
    vi.stubEnv('MALLOC_TRIM_THRESHOLD_', '12345');
    await opening().examine(await task('SOUND1.JPG', 'off'));
    expect(logged().map(([, , trimThreshold]) => trimThreshold)).toEqual(['131072', '12345']);
  });
});
