import type { FactName } from '../../src/domain/recording.ts';
import type { Carrier, FactSighting, Reading } from '../../src/reading/sighting.ts';

// What is compared with a general-purpose reader, and how its tags name each fact. It is asked with -n -a -G1 -struct.

export type Tags = Readonly<Record<string, string | number | undefined>>;
type Value = number | string | undefined;

// The reader prints "undef" for 0/0 and "inf" for x/0; several values stand in one text.
export function number(tags: Tags, ...names: readonly string[]): number | undefined {
  for (const name of names) {
    const value = Number.parseFloat(String(tags[name] ?? ''));
    if (Number.isFinite(value)) return value;
  }
  return undefined;
}

/** Writers put 0 where the lens or the sensor told them nothing. */
function knownNumber(tags: Tags, ...names: readonly string[]): number | undefined {
  return names.map((name) => number(tags, name)).find((value) => value !== undefined && value !== 0);
}

function exifDate(tags: Tags): string | undefined {
  const kind = isDate(tags['ExifIFD:DateTimeOriginal']) ? 'Original' : 'Digitized';
  const date = tags[kind === 'Original' ? 'ExifIFD:DateTimeOriginal' : 'ExifIFD:CreateDate'];
  if (!isDate(date)) return undefined;
  const [day = '', time = ''] = date.split(' ');
  const fraction = /^\d+/.exec(String(tags[`ExifIFD:SubSecTime${kind}`] ?? ''));
  const point = fraction === null ? '' : `.${fraction[0]}`;
  return `${day.replaceAll(':', '-')}T${time}${point}${String(tags[`ExifIFD:OffsetTime${kind}`] ?? '').trim()}`;
}

/** Zeros and blanks stand for a date that is not known. */
function isDate(date: Value): date is string {
  return typeof date === 'string' && /[1-9]/.test(date);
}

function xmpDate(tags: Tags): string | undefined {
  const names = ['XMP-exif:DateTimeOriginal', 'XMP-exif:DateTimeDigitized', 'XMP-xmp:CreateDate'];
  const date = names.map((name) => tags[name]).find(isDate);
  return date?.replace(/^(\d+):(\d+):(\d+) /, '$1-$2-$3T').replace(/(T\d\d:\d\d)(?=Z|[+-]|$)/, '$1:00');
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
    theirs: (tags) => knownNumber(tags, 'ExifIFD:FNumber', 'ExifIFD:ApertureValue'),
  },
  { fact: 'iso', carrier: 'exif', theirs: (tags) => knownNumber(tags, 'ExifIFD:ISO') },
  {
    fact: 'exposureBiasStops',
    carrier: 'exif',
    theirs: (tags) => number(tags, 'ExifIFD:ExposureCompensation'),
  },
  { fact: 'focalLengthMm', carrier: 'exif', theirs: (tags) => knownNumber(tags, 'ExifIFD:FocalLength') },
  {
    fact: 'equivalentFocalLengthMm',
    carrier: 'exif',
    theirs: (tags) => knownNumber(tags, 'ExifIFD:FocalLengthIn35mmFormat'),
  },
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
    theirs: (tags) => number(tags, 'File:ImageWidth', 'PNG:ImageWidth', 'RIFF:ImageWidth', 'IFD0:ImageWidth'),
  },
  {
    fact: 'height',
    carrier: 'stream',
    theirs: (tags) =>
      number(tags, 'File:ImageHeight', 'PNG:ImageHeight', 'RIFF:ImageHeight', 'IFD0:ImageHeight'),
  },
];

function ourValue(sightings: readonly FactSighting[], { fact, carrier }: Compared): Value {
  // The other reader gives the stored size, before the picture is turned.
  const turn = sightings.find((each) => each.fact === 'rotationDegrees')?.value;
  const turned = turn === 90 || turn === 270;
  const asked = turned && fact === 'width' ? 'height' : turned && fact === 'height' ? 'width' : fact;
  const found = sightings.find((each) => each.fact === asked && each.carrier === carrier);
  // A zone that was worked out is none that was recorded.
  if (found?.fact === 'recordedAt' && found.zoneWorkedOut === true) return found.value.slice(0, -6);
  return found?.value as Value;
}

// It prints ten significant digits.
function isSame(ours: Value, theirs: Value): boolean {
  if (typeof ours !== 'number' || typeof theirs !== 'number') return ours === theirs;
  return Math.abs(ours - theirs) <= 1e-6 * Math.max(Math.abs(theirs), 1e-9);
}

export interface ComparedFact {
  readonly fact: FactName;
  readonly carrier: Carrier;
  readonly ours: Value;
  readonly theirs: Value;
  readonly isSame: boolean;
  /** Why we took it for none, where we did. */
  readonly refusal?: string;
}

/** Every fact that either of the two readers has of one still. */
export function comparedFacts({ sightings, refusals }: Reading, tags: Tags): readonly ComparedFact[] {
  return compared.flatMap((each) => {
    const [ours, theirs] = [ourValue(sightings, each), each.theirs(tags)];
    if (ours === undefined && theirs === undefined) return [];
    // A position is refused whole.
    const whole = each.fact === 'longitude' ? 'latitude' : each.fact;
    const refusal = refusals.find(({ what }) => what === each.fact || what === whole)?.reason;
    return {
      fact: each.fact,
      carrier: each.carrier,
      ours,
      theirs,
      isSame: isSame(ours, theirs),
      refusal,
    };
  });
}
