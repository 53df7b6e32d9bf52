import { existsSync, readdirSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { ExifTool } from 'exiftool-vendored';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { FactName } from '../../src/domain/recording.ts';
import type { Carrier, FactSighting } from '../../src/reading/sighting.ts';
import { makeStills } from './crosscheckStills.ts';
import { readStillFile } from './readings.ts';

const realMedia = fileURLToPath(new URL('../../../shared/real-media/', import.meta.url));

/** Where we differ on purpose, and why. Anything else that differs fails; so does a line that is not needed. */
const differences: Readonly<Record<string, string>> = {
  'exposure-zero.jpg exif exposureSeconds': 'no picture is taken in 0 s: refused',
  'exposure-absurd.jpg exif exposureSeconds': 'longer than a day: refused',
  'huge-denominator.jpg exif exposureSeconds': 'no shutter opens for a quarter of a nanosecond: refused',
  'f-number-zero.jpg exif fNumber': 'f/0 is how writers say that the lens told them nothing',
  'iso-overflow.jpg exif iso': '65535 means 65535 or more; SensitivityType names the tag with the full value',
  'iso-overflow-alone.jpg exif iso': '65535 means 65535 or more: refused',
  'zero-date.jpg exif recordedAt': 'zeros stand for an unknown date',
  'month-13.jpg exif recordedAt': 'there is no thirteenth month: refused',
  'no-hemisphere.jpg exif longitude': 'a longitude without a latitude is no position',
  'lower-case-hemisphere.jpg exif latitude': 'the standard knows N and S only: refused',
  'lower-case-hemisphere.jpg exif longitude': 'a longitude without a latitude is no position',
  'null-island.jpg exif latitude': 'receivers without a fix write 0, 0: refused',
  'null-island.jpg exif longitude': 'receivers without a fix write 0, 0: refused',
};

const realDifferences: Readonly<Record<string, string>> = {
  'exposure-4294967295.jpg exif exposureSeconds': 'longer than a day: refused',
};

type Tags = Readonly<Record<string, string | number | undefined>>;
type Value = number | string | undefined;

// The reader prints "undef" for 0/0 and "inf" for x/0; several values stand in one text.
function number(tags: Tags, ...names: readonly string[]): number | undefined {
  for (const name of names) {
    const value = Number.parseFloat(String(tags[name] ?? ''));
    if (Number.isFinite(value)) return value;
  }
  return undefined;
}

function exifDate(tags: Tags): string | undefined {
  const date = tags['ExifIFD:DateTimeOriginal'] ?? tags['ExifIFD:CreateDate'];
  if (typeof date !== 'string' || !/\d/.test(date)) return undefined;
  const [day = '', time = ''] = date.split(' ');
  const fraction = tags['ExifIFD:SubSecTimeOriginal'];
  const point = fraction === undefined ? '' : `.${String(fraction)}`;
  return `${day.replaceAll(':', '-')}T${time}${point}${String(tags['ExifIFD:OffsetTimeOriginal'] ?? '')}`;
}

function xmpDate(tags: Tags): string | undefined {
  const date = tags['XMP-exif:DateTimeOriginal'];
  return typeof date === 'string' ? date.replace(/^(\d+):(\d+):(\d+) /, '$1-$2-$3T') : undefined;
}

interface Compared {
  readonly fact: FactName;
  readonly carrier: Carrier;
  readonly theirs: (tags: Tags) => Value;
}

const compared: readonly Compared[] = [
  {
    fact: 'exposureSeconds',
    carrier: 'exif',
    theirs: (tags) => number(tags, 'ExifIFD:ExposureTime', 'ExifIFD:ShutterSpeedValue'),
  },
  {
    fact: 'fNumber',
    carrier: 'exif',
    theirs: (tags) => number(tags, 'ExifIFD:FNumber', 'ExifIFD:ApertureValue'),
  },
  { fact: 'iso', carrier: 'exif', theirs: (tags) => number(tags, 'ExifIFD:ISO') },
  {
    fact: 'exposureBiasStops',
    carrier: 'exif',
    theirs: (tags) => number(tags, 'ExifIFD:ExposureCompensation'),
  },
  { fact: 'focalLengthMm', carrier: 'exif', theirs: (tags) => number(tags, 'ExifIFD:FocalLength') },
  { fact: 'recordedAt', carrier: 'exif', theirs: exifDate },
  {
    fact: 'latitude',
    carrier: 'exif',
    theirs: (tags) =>
      tags['GPS:GPSLatitude'] === undefined ? undefined : number(tags, 'Composite:GPSLatitude'),
  },
  {
    fact: 'longitude',
    carrier: 'exif',
    theirs: (tags) =>
      tags['GPS:GPSLongitude'] === undefined ? undefined : number(tags, 'Composite:GPSLongitude'),
  },
  {
    fact: 'altitudeMetres',
    carrier: 'exif',
    theirs: (tags) => number(tags, 'Composite:GPSAltitude', 'GPS:GPSAltitude'),
  },
  { fact: 'headingDegrees', carrier: 'exif', theirs: (tags) => number(tags, 'GPS:GPSImgDirection') },
  {
    fact: 'exposureSeconds',
    carrier: 'xmp-embedded',
    theirs: (tags) => number(tags, 'XMP-exif:ExposureTime'),
  },
  { fact: 'fNumber', carrier: 'xmp-embedded', theirs: (tags) => number(tags, 'XMP-exif:FNumber') },
  {
    fact: 'iso',
    carrier: 'xmp-embedded',
    theirs: (tags) => number(tags, 'XMP-exif:ISO', 'XMP-exifEX:PhotographicSensitivity'),
  },
  {
    fact: 'exposureBiasStops',
    carrier: 'xmp-embedded',
    theirs: (tags) => number(tags, 'XMP-exif:ExposureCompensation'),
  },
  { fact: 'recordedAt', carrier: 'xmp-embedded', theirs: xmpDate },
  { fact: 'latitude', carrier: 'xmp-embedded', theirs: (tags) => number(tags, 'XMP-exif:GPSLatitude') },
  {
    fact: 'width',
    carrier: 'stream',
    theirs: (tags) => number(tags, 'File:ImageWidth', 'IFD0:ImageWidth', 'PNG:ImageWidth', 'RIFF:ImageWidth'),
  },
  {
    fact: 'height',
    carrier: 'stream',
    theirs: (tags) =>
      number(tags, 'File:ImageHeight', 'IFD0:ImageHeight', 'PNG:ImageHeight', 'RIFF:ImageHeight'),
  },
];

function ourValue(sightings: readonly FactSighting[], { fact, carrier }: Compared): Value {
  // The other reader gives the stored size, before the picture is turned.
  const turn = sightings.find((each) => each.fact === 'rotationDegrees')?.value;
  const turned = turn === 90 || turn === 270;
  const asked = turned && fact === 'width' ? 'height' : turned && fact === 'height' ? 'width' : fact;
  return sightings.find((each) => each.fact === asked && each.carrier === carrier)?.value as Value;
}

// It prints ten significant digits.
function isSame(ours: Value, theirs: Value): boolean {
  if (typeof ours !== 'number' || typeof theirs !== 'number') return ours === theirs;
  return Math.abs(ours - theirs) <= 1e-6 * Math.max(Math.abs(theirs), 1e-9);
}

let exiftool: ExifTool;
let folder: string;

beforeAll(async () => {
  exiftool = new ExifTool({ taskTimeoutMillis: 20_000 });
  folder = await mkdtemp(join(tmpdir(), 'halfturn-crosscheck-'));
});

afterAll(async () => {
  await exiftool.end();
  await rm(folder, { recursive: true });
});

interface Outcome {
  readonly values: number;
  readonly differing: readonly string[];
}

async function compare(base: string, names: readonly string[]): Promise<Outcome> {
  let values = 0;
  const differing: string[] = [];
  for (const name of names) {
    const tags = await exiftool.readRaw(join(base, name), { readArgs: ['-n', '-a', '-G1', '-struct'] });
    const { sightings } = await readStillFile(join(base, name));
    for (const each of compared) {
      const [ours, theirs] = [ourValue(sightings, each), each.theirs(tags as Tags)];
      if (ours === undefined && theirs === undefined) continue;
      values += 1;
      if (!isSame(ours, theirs)) differing.push(`${name} ${each.carrier} ${each.fact}: ${ours} | ${theirs}`);
    }
  }
  return { values, differing };
}

function expectOnlyKnown(
  what: string,
  { values, differing }: Outcome,
  known: Readonly<Record<string, string>>,
): void {
  const keyOf = (line: string) => line.slice(0, line.indexOf(': '));
  const unexplained = differing.filter((line) => known[keyOf(line)] === undefined);
  console.log(
    `${what}: ${values} values compared, ${differing.length} differ, ${unexplained.length} unexplained`,
  );
  expect(unexplained).toEqual([]);
  expect(differing).toHaveLength(Object.keys(known).length);
}

test('made stills are read as a general-purpose reader reads them', { timeout: 120_000 }, async () => {
  const names = await makeStills(folder, exiftool);
  expect(names.length).toBeGreaterThanOrEqual(100);
  const outcome = await compare(folder, names);
  expect(outcome.values).toBeGreaterThanOrEqual(400);
  expectOnlyKnown(`${names.length} made stills`, outcome, differences);
});

test('real stills are read as a general-purpose reader reads them', { timeout: 120_000 }, async (context) => {
  if (!existsSync(realMedia)) return context.skip('no folder with real media is here');
  const names = readdirSync(realMedia).filter((name) =>
    /\.(jpe?g|png|tiff?|dng|webp|hei[cf]|avif)$/i.test(name),
  );
  const outcome = await compare(realMedia, names);
  expect(outcome.values).toBeGreaterThan(0);
  expectOnlyKnown(`${names.length} real stills`, outcome, realDifferences);
});
