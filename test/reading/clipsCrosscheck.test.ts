import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { ExifTool } from 'exiftool-vendored';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { framesPerSecond } from '../../src/domain/frameRate.ts';
import type { FactName } from '../../src/domain/recording.ts';
import { locatePrograms } from '../../src/programs/locate.ts';
import { openMedia } from '../../src/programs/openMedia.ts';
import { readClip, type Programs } from '../../src/reading/clip.ts';
import type { Carrier, FactSighting } from '../../src/reading/sighting.ts';
import { sampleCard } from '../sampleCard.ts';
import { number, type Tags } from './comparedStills.ts';
import { makeMedia, scratchFolder, testPicture } from './madeMedia.ts';

const realMedia = fileURLToPath(new URL('../../../shared/real-media/', import.meta.url));

type Value = number | string | undefined;

/** Tags of the track that holds the picture. */
function ofPicture(tags: Tags, name: string): number | undefined {
  const track = Object.keys(tags).find((key) => key.endsWith(':VideoFrameRate'));
  return track === undefined ? undefined : number(tags, track.replace('VideoFrameRate', name));
}

// "2026:05:14 19:02:13+00:00"; zeros stand for a clock that was not set.
function moment(tags: Tags, ...names: readonly string[]): number | undefined {
  const text = names.map((name) => tags[name]).find((value) => value !== undefined);
  if (typeof text !== 'string' || text.startsWith('0000')) return undefined;
  return Date.parse(text.replace(/^(\d+):(\d+):(\d+) /, '$1-$2-$3T'));
}

// MP4 has a box of its own for places, which the other reader prints as words: "Lat=47.5083 Lon=8.2541 Alt=400.50".
const inWords = (tags: Tags): string =>
  [...String(tags['UserData:LocationInformation'] ?? '').matchAll(/(?:Lat|Lon|Alt)=(-?[\d.]+)/g)]
    .map(([, value]) => value)
    .join(' ');
const coordinates = (tags: Tags): number[] =>
  String(tags['Keys:GPSCoordinates'] ?? tags['UserData:GPSCoordinates'] ?? inWords(tags))
    .split(' ')
    .map((part) => (part === '' ? Number.NaN : Number(part)));
const coordinate = (tags: Tags, at: number): number | undefined => {
  const value = coordinates(tags)[at];
  return value === undefined || Number.isNaN(value) ? undefined : value;
};

interface Compared {
  readonly fact: FactName;
  readonly carrier: Carrier;
  readonly theirs: (tags: Tags) => Value;
  /** Absolute; equal but for printed digits where absent. */
  readonly tolerance?: number;
}

const compared: readonly Compared[] = [
  {
    fact: 'recordedAt',
    carrier: 'container-tag',
    theirs: (tags) => moment(tags, 'Keys:CreationDate', 'QuickTime:CreateDate'),
  },
  // Both count the frames of the track; an edit list may leave out part of the first or the last.
  {
    fact: 'durationSeconds',
    carrier: 'stream',
    theirs: (tags) => ofPicture(tags, 'MediaDuration'),
    tolerance: 0.05,
  },
  { fact: 'width', carrier: 'stream', theirs: (tags) => ofPicture(tags, 'ImageWidth') },
  { fact: 'height', carrier: 'stream', theirs: (tags) => ofPicture(tags, 'ImageHeight') },
  {
    fact: 'rotationDegrees',
    carrier: 'stream',
    theirs: (tags) => number(tags, 'Composite:Rotation') || undefined,
  },
  { fact: 'frameRate', carrier: 'container-tag', theirs: (tags) => number(tags, 'Keys:AndroidCaptureFPS') },
  // MP4 stores places in steps of 2^-16, and the other reader cuts their digits.
  { fact: 'latitude', carrier: 'container-tag', theirs: (tags) => coordinate(tags, 0), tolerance: 2 ** -16 },
  { fact: 'longitude', carrier: 'container-tag', theirs: (tags) => coordinate(tags, 1), tolerance: 2 ** -16 },
  {
    fact: 'altitudeMetres',
    carrier: 'container-tag',
    theirs: (tags) => coordinate(tags, 2),
    tolerance: 2 ** -16,
  },
  ...(
    [
      ['exposureSeconds', 'XMP-exif:ExposureTime'],
      ['fNumber', 'XMP-exif:FNumber'],
      ['iso', 'XMP-exifEX:PhotographicSensitivity', 'XMP-exif:ISO'],
      ['exposureBiasStops', 'XMP-exif:ExposureCompensation'],
      ['latitude', 'XMP-exif:GPSLatitude'],
      ['longitude', 'XMP-exif:GPSLongitude'],
      ['altitudeMetres', 'XMP-exif:GPSAltitude'],
      ['headingDegrees', 'XMP-exif:GPSImgDirection'],
    ] as const
  ).map(([fact, ...names]) => ({
    fact,
    carrier: 'xmp-embedded' as const,
    theirs: (tags: Tags) => number(tags, ...names),
  })),
  {
    fact: 'recordedAt',
    carrier: 'xmp-embedded',
    theirs: (tags) => moment(tags, 'XMP-exif:DateTimeOriginal', 'XMP-xmp:CreateDate'),
  },
];

/** Where we differ on purpose, and why; a line that is not needed fails as well. */
const differences: Readonly<Record<string, string>> = {};
const realDifferences: Readonly<Record<string, string>> = {
  'hlg-vfr-edit-list.mp4 stream durationSeconds': 'its edit list shows only a part of what the track holds',
  'slow-motion-b.mp4 container-tag frameRate':
    'its keys stand in an ISO full box, which the other passes over',
};

function ourValue(sightings: readonly FactSighting[], { fact, carrier }: Compared): Value {
  const of = (name: FactName): FactSighting | undefined =>
    sightings.find((one) => one.fact === name && one.carrier === carrier);
  const turn = of('rotationDegrees')?.value;
  const turned = turn === 90 || turn === 270;
  const asked = turned && fact === 'width' ? 'height' : turned && fact === 'height' ? 'width' : fact;
  const found = of(asked);
  if (found?.fact === 'recordedAt') return Date.parse(found.value);
  if (found?.fact === 'frameRate') return framesPerSecond(found.value);
  // Not turned is the same as saying nothing of it.
  return found?.fact === 'rotationDegrees' && found.value === 0 ? undefined : (found?.value as Value);
}

function isSame(ours: Value, theirs: Value, tolerance = 0): boolean {
  if (typeof ours !== 'number' || typeof theirs !== 'number') return ours === theirs;
  return Math.abs(ours - theirs) <= tolerance + 1e-6 * Math.max(Math.abs(theirs), 1e-9);
}

let exiftool: ExifTool;
let programs: Programs;
let folder: Awaited<ReturnType<typeof scratchFolder>>;

beforeAll(async () => {
  exiftool = new ExifTool({ taskTimeoutMillis: 20_000 });
  programs = await locatePrograms();
  folder = await scratchFolder();
});
afterAll(async () => {
  await exiftool.end();
  await folder.remove();
});

async function compare(what: string, files: readonly string[], known: Readonly<Record<string, string>>) {
  let values = 0;
  const differing: string[] = [];
  for (const file of files) {
    const readArgs = ['-n', '-a', '-G1', '-struct', '-api', 'QuickTimeUTC=1'];
    const tags = await exiftool.readRaw(file, { readArgs });
    const media = await openMedia(file);
    const { readings } = await readClip(media, programs).finally(() => media.close());
    const sightings = readings.flatMap((reading) => reading.sightings);
    for (const each of compared) {
      const [ours, theirs] = [ourValue(sightings, each), each.theirs(tags as Tags)];
      if (ours === undefined && theirs === undefined) continue;
      values += 1;
      if (isSame(ours, theirs, each.tolerance)) continue;
      const name = file.slice(file.lastIndexOf('/') + 1);
      differing.push(`${name} ${each.carrier} ${each.fact}: ${ours} | ${theirs}`);
    }
  }
  const keyOf = (line: string) => line.slice(0, line.indexOf(': '));
  const unexplained = differing.filter((line) => known[keyOf(line)] === undefined);
  console.log(
    `${files.length} ${what}: ${values} values compared, ${differing.length} differ, ${unexplained.length} unexplained`,
  );
  expect(unexplained).toEqual([]);
  expect(differing).toHaveLength(Object.keys(known).length);
  return values;
}

const clipsIn = (place: string): string[] =>
  readdirSync(place)
    .filter((name) => /\.(mp4|mov)$/i.test(name))
    .map((name) => join(place, name));

test('the clips of the sample card', { timeout: 120_000 }, async () => {
  const files = clipsIn(join(sampleCard, 'DCIM', '100_AERO'));
  expect(await compare('clips of the sample card', files, differences)).toBeGreaterThanOrEqual(60);
});

test('made clips with positions, dates and turns', { timeout: 120_000 }, async () => {
  const base = join(folder.path, 'base.mp4');
  await makeMedia(...testPicture('25', 1), '-c:v', 'libx264', '-pix_fmt', 'yuv420p', base);
  const made: Readonly<Record<string, readonly string[]>> = {
    'north-east.mp4': ['-metadata', 'location=+47.5083+008.2541+400.5/'],
    'south-west.mov': ['-metadata', 'location=-47.1993-126.7011/'],
    'dated.mp4': ['-metadata', 'creation_time=2026-05-14T19:02:13Z'],
    'undated.mov': ['-fflags', '+bitexact'],
    'keys.mov': [
      '-movflags',
      'use_metadata_tags',
      '-metadata',
      'com.apple.quicktime.creationdate=2026-05-14T21:02:13+0200',
    ],
    'turned.mp4': ['-metadata:s:v', 'rotate=90'],
  };
  const files: string[] = [];
  for (const [name, more] of Object.entries(made)) {
    files.push(join(folder.path, name));
    await makeMedia('-i', base, '-c', 'copy', ...more, files.at(-1)!);
  }
  expect(await compare('made clips', files, {})).toBeGreaterThanOrEqual(25);
});

test('real clips', { timeout: 120_000 }, async (context) => {
  if (!existsSync(realMedia)) return context.skip('no folder with real media is here');
  await compare('real clips', clipsIn(realMedia), realDifferences);
});
