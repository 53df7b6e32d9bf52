import { join } from 'node:path';
import { ExifTool } from 'exiftool-vendored';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { buildCarriers } from '../../../sample-media-generator/carriers/build.ts';
import type { CarrierTruth, ExposureSample } from '../../../sample-media-generator/carriers/truth.ts';
import { framesPerSecond } from '../../../src/domain/frameRate.ts';
import type { Recording, TrackSample } from '../../../src/domain/recording.ts';
import { locatePrograms } from '../../../src/programs/locate.ts';
import { readDump } from '../../../src/reading/dump.ts';
import { readRecording } from '../../../src/reading/recordings.ts';
import { scratchFolder } from '../madeMedia.ts';

const folder = await scratchFolder();
afterAll(() => folder.remove());

let truths: readonly CarrierTruth[] = [];
const recordings = new Map<string, Recording>();
beforeAll(async () => {
  truths = await buildCarriers(folder.path);
  const programs = await locatePrograms();
  const { entries } = await readDump(folder.path);
  for (const entry of entries) {
    const { recording, problem } = await readRecording(entry, programs);
    expect(problem, entry.path).toBeUndefined();
    if (recording !== undefined) recordings.set(entry.path, recording);
  }
}, 120_000);

// Seconds. Matroska and SubRip write times in whole milliseconds.
const timeTolerance = 1e-3;
/** What is stored coarser than it was meant, as a share of the value. */
const storageFractions: Partial<Record<keyof TrackSample, number>> = {
  // RDD 18 stores the f-number in steps of ln 2 / 8192, and it is given with four digits.
  fNumber: 1.5e-4,
  // Nanoseconds are whole: 1/320 s is 3,125,000 of them, every time here is a whole number.
  exposureSeconds: 1e-9,
  // CAMM stores the altitude as float32, ST 0601 the position in 2^32 steps.
  latitude: 1e-8,
  longitude: 1e-8,
  altitudeMetres: 1e-6,
};
const compared = [
  'exposureSeconds',
  'fNumber',
  'iso',
  'recordedFilterStops',
  'rollingShutterSkewSeconds',
  'latitude',
  'longitude',
  'altitudeMetres',
  'groundSpeedMetresPerSecond',
] as const;

function expectSample(sample: TrackSample | undefined, truth: ExposureSample, where: string): number {
  expect(sample, where).toBeDefined();
  expect(Math.abs(sample!.startSeconds - truth.startSeconds), where).toBeLessThanOrEqual(timeTolerance);
  expect(Math.abs(sample!.endSeconds - truth.endSeconds), where).toBeLessThanOrEqual(timeTolerance);
  let count = 0;
  for (const name of compared) {
    const [said, true_] = [sample![name], truth[name]];
    if (true_ === undefined) {
      expect(said, `${where} ${name}`).toBeUndefined();
      continue;
    }
    count++;
    const slack = Math.abs(true_) * (storageFractions[name] ?? 1e-12);
    expect(
      Math.abs((said ?? Number.NaN) - true_),
      `${where} ${name}: ${said} for ${true_}`,
    ).toBeLessThanOrEqual(slack);
  }
  return count;
}

const timed = ['camm', 'mebx', 'keyed-telemetry', 'motion-jpeg-exif', 'rdd18', 'text-track', 'klv'];
// The ffprobe that npm brings crashes on data in a transport stream.
const { origin } = (await locatePrograms()).ffprobe;

test.each(timed.filter((carrier) => carrier !== 'klv' || origin !== 'bundled'))(
  'every sample of the %s clips is read as it was made',
  (carrier) => {
    const clips = truths.filter((truth) => truth.carrier === carrier);
    expect(clips.length).toBeGreaterThan(0);
    for (const { file, samples } of clips) {
      const track = recordings.get(file)?.track;
      expect(track?.samples.length, `${file} ${JSON.stringify(recordings.get(file)?.refusals)}`).toBe(
        samples.length,
      );
      const counts = samples.map((truth, at) =>
        expectSample(track!.samples[at], truth, `${file} sample ${at}`),
      );
      expect(Math.min(...counts), file).toBeGreaterThan(0);
    }
  },
);

test('the clips without telemetry over time have no track', () => {
  const clips = truths.filter(({ samples }) => samples.length === 0);
  expect(clips.length).toBeGreaterThan(5);
  for (const { file } of clips) expect(recordings.get(file)?.track, file).toBeUndefined();
});

test('facts of the whole clip are read from tags, keys and XMP as they were made', () => {
  let count = 0;
  for (const { file, clip } of truths) {
    const facts = recordings.get(file)!.facts;
    const expectNear = (name: string, said: number | undefined, truth: number | undefined) => {
      if (truth === undefined) return;
      count++;
      expect(
        Math.abs((said ?? Number.NaN) / truth - 1),
        `${file} ${name}: ${said} for ${truth}`,
      ).toBeLessThan(1e-6);
    };
    for (const name of [
      'exposureSeconds',
      'iso',
      'fNumber',
      'latitude',
      'longitude',
      'altitudeMetres',
    ] as const)
      expectNear(name, facts[name]?.value, clip[name]);
    expectNear(
      'capture',
      facts.frameRate && framesPerSecond(facts.frameRate.value),
      clip.captureFramesPerSecond,
    );
    const playback = facts.playbackFrameRate && framesPerSecond(facts.playbackFrameRate.value);
    expectNear('playback', playback, clip.playbackFramesPerSecond);
    if (clip.startTimecode !== undefined) expect(facts.startTimecode?.value, file).toBe(clip.startTimecode);
    if (clip.recordedAt !== undefined) expect(facts.recordedAt?.value, file).toBe(clip.recordedAt);
    if (clip.variableFrameRate === true) expect(facts.frameTiming?.value, file).toBe('variable');
  }
  expect(count).toBeGreaterThan(40);
});

test('the telemetry by four-character keys gives the white balance, and the time of the first frame in UTC', () => {
  for (const file of ['TELE0001.MP4', 'TELE0002.MP4']) {
    const { facts } = recordings.get(file)!;
    expect(facts.whiteBalance?.value).toBe('5600 K');
    expect(facts.recordedAt).toMatchObject({
      value: '2025-05-06T07:08:09Z',
      source: 'telemetry (gpmd) in track 2, GPS time',
    });
  }
});

test('no track of these clips counts as one that could not be read', () => {
  for (const [file, { unreadTracks }] of recordings) expect(unreadTracks, file).toBeUndefined();
});

test('the acquisition sets give the wheel, the white balance and the capture rate of the clip', () => {
  const { facts } = recordings.get('ACQM0001.MXF')!;
  // 1/8 of the light: three stops.
  expect(facts.recordedFilterStops?.value).toBe(3);
  expect(facts.whiteBalance?.value).toBe('5600 K');
  expect(facts.frameRate).toMatchObject({ value: { numerator: 24, denominator: 1 } });
  expect(facts.frameRate?.source).toMatch(/^SMPTE RDD 18/);
  expect(recordings.get('ACQM0002.MXF')?.facts.recordedFilterStops?.value).toBe(0);
});

test('no clip of the carriers is said to contradict itself, and none is refused anything', () => {
  for (const [file, { refusals, facts }] of recordings) {
    expect(refusals, file).toEqual([]);
    const others = Object.entries(facts).filter(([, fact]) => 'others' in fact);
    expect(
      others.map(([name]) => name),
      file,
    ).toEqual([]);
  }
});

// The reader's names for what the tracks hold, with what turns its value into ours.
const readerNames: Readonly<
  Record<string, readonly (readonly [tag: RegExp, fact: keyof TrackSample, scale: number])[]>
> = {
  'CAMM0001.MP4': [
    [/PixelExposureTime$/, 'exposureSeconds', 1],
    [/RollingShutterSkewTime$/, 'rollingShutterSkewSeconds', 1],
    [/GPSLatitude$/, 'latitude', 1],
    [/GPSLongitude$/, 'longitude', 1],
    [/GPSAltitude$/, 'altitudeMetres', 1],
  ],
  'MEBX0001.MOV': [
    [/ExposureTime$/, 'exposureSeconds', 1],
    [/Iso$/, 'iso', 1],
    [/FNumber$/, 'fNumber', 1],
  ],
  'MEBX0003.MOV': [
    [/ExposureTimeNanoseconds$/, 'exposureSeconds', 1e-9],
    [/PhotographicSensitivity$/, 'iso', 1],
  ],
};

test('metadata tracks are read as a general-purpose reader reads them', async () => {
  const exiftool = new ExifTool({ taskTimeoutMillis: 20_000 });
  let count = 0;
  try {
    for (const [file, names] of Object.entries(readerNames)) {
      const read = await exiftool.readRaw(join(folder.path, file), { readArgs: ['-ee', '-n', '-G3'] });
      const said = Object.entries(read).filter(([tag]) => /^Doc\d+:/.test(tag));
      for (const [pattern, fact, scale] of names) {
        // In the order of their documents, which is that of time; the odd position is no sample of its own with us.
        const theirs = said.filter(([tag]) => pattern.test(tag)).map(([, value]) => Number(value) * scale);
        const ours = recordings.get(file)!.track!.samples.flatMap((sample) => sample[fact] ?? []);
        expect(ours.length, `${file} ${fact}`).toBe(theirs.length);
        ours.forEach((value, at) => {
          count++;
          // It prints a float32 as the double that it is.
          expect(Math.abs(value / theirs[at]! - 1), `${file} ${fact} ${at}`).toBeLessThan(1e-7);
        });
      }
    }
  } finally {
    await exiftool.end();
  }
  console.log(`${count} values of metadata tracks compared`);
  expect(count).toBeGreaterThan(300);
});

/** What the reader gives as one text for each payload: its values, in the order of time. */
function listed(read: object, tag: string): number[] {
  const payloads = Object.entries(read).filter(([name]) => new RegExp(`^Doc\\d+:${tag}$`).test(name));
  return payloads.flatMap(([, values]) => String(values).split(' ').map(Number));
}

test('telemetry by four-character keys is read as a general-purpose reader reads it', async () => {
  const exiftool = new ExifTool({ taskTimeoutMillis: 20_000 });
  try {
    for (const file of ['TELE0001.MP4', 'TELE0002.MP4']) {
      const read = await exiftool.readRaw(join(folder.path, file), { readArgs: ['-ee', '-n', '-G3'] });
      const samples = recordings.get(file)!.track!.samples;
      const exposures = listed(read, 'ExposureTimes');
      expect(exposures).toHaveLength(49);
      samples.forEach(({ exposureSeconds }, at) =>
        expect(Math.abs(exposureSeconds! / exposures[at]! - 1), `${file} ${at}`).toBeLessThan(1e-7),
      );
      const isos = listed(read, 'ISOSpeeds');
      if (isos.length > 0) expect(samples.map(({ iso }) => iso)).toEqual(isos);
      const places = Object.entries(read).filter(([name]) => /^Doc[\d-]+:GPSLatitude$/.test(name));
      expect([...new Set(samples.map(({ latitude }) => latitude))]).toEqual(
        places.map(([, value]) => Number(value)),
      );
      // It turns metres a second into kilometres an hour.
      expect(samples[0]!.groundSpeedMetresPerSecond! * 3.6).toBeCloseTo(
        Number(read['Doc1:GPSSpeed' as keyof typeof read]),
        9,
      );
    }
  } finally {
    await exiftool.end();
  }
});
