import { execFile, spawn } from 'node:child_process';
import { mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { availableParallelism, tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { exiftoolPath } from 'exiftool-vendored';
import sharp from 'sharp';
import { locatePrograms } from '../../src/programs/locate.ts';
import type { Program } from '../../src/programs/run.ts';
import { readDump } from '../../src/reading/dump.ts';
import type { DumpEntry } from '../../src/reading/dumpEntries.ts';
import { readRecording } from '../../src/reading/recordings.ts';
import { propertyRuns } from '../reading/parserProperties.ts';
import { buildHostile, removeHostile } from '../../sample-media-generator/hostile/build.ts';
import { auditWatched } from '../reading/hostileRun.ts';
import { exifSegment, fields, tiffBlock } from '../reading/tiffBlock.ts';
import { atSize, reportRatio } from './ratios.ts';

// tsx test/bench/readingBench.ts [stills] [clips] [hostile] [properties]      all where none is named
//
// Against a general-purpose reader that is asked for four tags, and against bare ffprobe calls, by turns in one run;
// what the worst of the files made to do harm costs; 10,000 damaged inputs for each parser.

const run = promisify(execFile);
const parts = process.argv.slice(2);
const wanted = (part: string): boolean => parts.length === 0 || parts.includes(part);
const le = fields(true);

async function main(): Promise<void> {
  const folder = await mkdtemp(join(tmpdir(), 'halfturn-bench-'));
  try {
    if (wanted('stills')) await benchStills(join(folder, 'stills'));
    if (wanted('clips')) await benchClips(join(folder, 'clips'));
    if (wanted('hostile')) await benchHostile(join(folder, 'hostile'));
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
  if (wanted('properties')) await benchProperties();
}

async function secondsOf(work: () => Promise<unknown>): Promise<number> {
  const start = performance.now();
  await work();
  return (performance.now() - start) / 1000;
}

/** Each is run `times` times, by turns, so that what else the machine does strikes all alike; the best of each counts. */
async function best<N extends string>(
  works: Readonly<Record<N, () => Promise<unknown>>>,
  times: number,
): Promise<Record<N, number>> {
  const seconds = Object.fromEntries(Object.keys(works).map((name) => [name, Infinity])) as Record<N, number>;
  for (let turn = 0; turn < times; turn += 1)
    for (const name of Object.keys(works) as N[])
      seconds[name] = Math.min(seconds[name], await secondsOf(works[name]));
  return seconds;
}

const stillCount = atSize({ quick: 300, usual: 1000 });

async function benchStills(folder: string): Promise<void> {
  await makeStills(folder);
  const programs = await locatePrograms();
  const tags = ['-ExposureTime', '-FNumber', '-ISO', '-DateTimeOriginal'];
  const seconds = await best(
    {
      ours: () => readAll(folder, programs),
      theirs: async () =>
        run(await exiftoolPath(), ['-fast2', '-json', ...tags, folder], { maxBuffer: 1 << 26 }),
    },
    3,
  );
  const filesPerSecond = (of: number): string => (stillCount / of).toFixed(0);
  reportRatio({
    what: `reading ${stillCount} stills, speed against a general-purpose reader`,
    measured: seconds.theirs / seconds.ours,
    atLeast: 3,
    unit: 'times',
    digits: 1,
    note: `${filesPerSecond(seconds.ours)} against ${filesPerSecond(seconds.theirs)} files/s`,
  });
}

async function makeStills(folder: string): Promise<void> {
  const size = { width: 640, height: 480 };
  const noise = { type: 'gaussian', mean: 128, sigma: 60 } as const;
  const picture = await sharp({ create: { ...size, channels: 3, background: 'black', noise } })
    .jpeg({ quality: 95 })
    .toBuffer();
  await mkdir(folder, { recursive: true });
  for (let at = 0; at < stillCount; at += 1) {
    const block = tiffBlock({
      main: [le.ascii(0x010f, 'Aeroform'), le.ascii(0x0110, 'A1')],
      exif: [
        le.rational(0x829a, 1, 50 + at),
        le.rational(0x829d, 28, 10),
        le.short(0x8827, 100 + at),
        le.ascii(0x9003, `2026:05:14 07:${pad(Math.floor(at / 60) % 60)}:${pad(at % 60)}`),
      ],
    });
    const name = `AERO${String(at + 1).padStart(4, '0')}.JPG`;
    await writeFile(
      join(folder, name),
      Buffer.concat([picture.subarray(0, 2), exifSegment(block), picture.subarray(2)]),
    );
  }
}

const pad = (value: number): string => String(value).padStart(2, '0');

/** As audit() reads: as many at once as there are cores. */
async function readAll(folder: string, programs: { ffprobe: Program; ffmpeg: Program }): Promise<void> {
  const { entries } = await readDump(folder);
  let read = 0;
  await atOnce(entries, async (entry: DumpEntry) => {
    const { recording } = await readRecording(entry, programs);
    if (recording?.facts.width !== undefined) read += 1;
  });
  if (read !== entries.length) throw new Error(`only ${read} of ${entries.length} were read`);
}

async function atOnce<T>(items: readonly T[], work: (item: T) => Promise<void>): Promise<void> {
  const waiting = items.values();
  const worker = async (): Promise<void> => {
    for (const item of waiting) await work(item);
  };
  await Promise.all(Array.from({ length: availableParallelism() }, worker));
}

const clipCount = atSize({ quick: 50, usual: 200 });

async function benchClips(folder: string): Promise<void> {
  const files = await makeClips(folder);
  const programs = await locatePrograms();
  const bare = (file: string): Promise<void> =>
    new Promise((resolve, reject) => {
      const args = ['-v', 'error', '-show_format', '-show_streams', '-of', 'json', `file:${file}`];
      const child = spawn(programs.ffprobe.path, args, { stdio: ['ignore', 'pipe', 'ignore'] });
      child.stdout.resume();
      child.once('error', reject).once('close', () => resolve());
    });
  const seconds = await best({ ours: () => readAll(folder, programs), bare: () => atOnce(files, bare) }, 3);
  reportRatio({
    what: `reading ${clipCount} clips / bare ffprobe calls`,
    measured: seconds.ours / seconds.bare,
    atMost: 1.25,
    note: `${seconds.ours.toFixed(1)} against ${seconds.bare.toFixed(1)} s`,
  });
}

async function makeClips(folder: string): Promise<string[]> {
  const { ffmpeg } = await locatePrograms();
  await mkdir(folder, { recursive: true });
  const first = join(folder, 'CLIP0001.MP4');
  const coder = ['-c:v', 'libx264', '-preset', 'ultrafast', '-pix_fmt', 'yuv420p'];
  await run(ffmpeg.path, [
    '-v',
    'error',
    '-f',
    'lavfi',
    '-i',
    'testsrc2=s=640x360:r=25:d=4',
    ...coder,
    first,
  ]);
  const content = await readFile(first);
  const files = Array.from({ length: clipCount }, (_, at) =>
    join(folder, `CLIP${String(at + 1).padStart(4, '0')}.MP4`),
  );
  for (const [at, file] of files.entries()) {
    // A box that nobody reads keeps them from being copies of one another.
    const unlike = Buffer.from(`\0\0\0\x0cfree${String(at).padStart(4, '0')}`, 'latin1');
    await writeFile(file, Buffer.concat([content, unlike]));
  }
  return files;
}

/** The bounds are those of test/reading/hostile.test.ts: guards against hangs and floods. */
async function benchHostile(folder: string): Promise<void> {
  await mkdir(folder, { recursive: true });
  try {
    await buildHostile(folder);
    const { files, peakBytes } = await auditWatched(folder, 'sampled');
    const worst = files.reduce((slowest, file) => (file.wallMs > slowest.wallMs ? file : slowest));
    reportRatio({
      what: 'slowest of the hostile files',
      measured: worst.wallMs / 1000,
      atMost: 20,
      unit: 's',
      note: `of ${files.length}, measuring: ${worst.path}`,
    });
    reportRatio({
      what: 'own memory over all hostile files',
      measured: peakBytes / 1e6,
      atMost: 400,
      unit: 'MB',
      digits: 0,
      note: 'with the loader of the sources',
    });
  } finally {
    removeHostile(folder);
  }
}

async function benchProperties(): Promise<void> {
  for (const [name, check] of Object.entries(propertyRuns)) {
    const inputs = atSize({ quick: 1000, usual: 10_000 });
    const seconds = await secondsOf(async () => check(inputs));
    console.log(`${name}: ${inputs} damaged inputs in ${seconds.toFixed(1)} s, none threw`);
  }
}

await main();
