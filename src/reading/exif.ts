// What is known of the decoder, before any code (exifr 7.1.3, found by trying it against a general-purpose reader):
// it reads past the end of the block, hangs on entries that share one value, fetches strings as addresses, takes dates
// through this machine's time zone, ignores altitude signs and guesses hemispheres. So it is handed only the small
// block that compactExif() writes, with all interpretation switched off; the rest is done here.
import { captureFacts, type CaptureValues } from './captureFacts.ts';
import { decodeText, type ByteSource } from './containers/byteSource.ts';
import { compactExif, exifTags } from './containers/compactExif.ts';
import type { RecordedCoordinate } from './position.ts';
import type { RecordedNumber } from './recordedNumber.ts';
import { exifGpsTime, exifTime } from './recordedTime.ts';
import type { Reading } from './sighting.ts';

import type { GpsTime } from './timeZone.ts';

export interface ExifReading extends Reading {
  /** 1 to 8 (CIPA DC-008, Orientation). */
  readonly orientation?: number;
  /** 1 sRGB, 65535 uncalibrated (CIPA DC-008, ColorSpace). */
  readonly colorSpace?: number;
  readonly gpsTime?: GpsTime;
}

const decoderOptions = {
  mergeOutput: false,
  reviveValues: false,
  translateValues: false,
  translateKeys: false,
  makerNote: false,
  userComment: false,
  ifd1: false,
  exif: true,
  gps: true,
  interop: false,
  xmp: false,
  icc: false,
  iptc: false,
  jfif: false,
  ihdr: false,
};

/** Decoded values by the standard's tag names. */
type Decoded = ReadonlyMap<string, unknown>;

/** The facts of one EXIF block: a TIFF structure, from its `II` or `MM` on. */
export async function readExif(source: ByteSource): Promise<ExifReading> {
  const { block, refusals } = compactExif(source);
  if (!block) return { sightings: [], refusals };
  const decoded = await decodedBlock(block);
  const facts = captureFacts(exifValues(decoded), 'exif');
  return {
    sightings: facts.sightings,
    refusals: [...refusals, ...facts.refusals],
    orientation: integerIn(decoded, 'Orientation', 1, 8),
    colorSpace: integerIn(decoded, 'ColorSpace', 0, 65_535),
    gpsTime: receiverTime(decoded),
  };
}

async function decodedBlock(block: Buffer): Promise<Decoded> {
  // Few clips hold such a block, and all would wait for the decoder.
  const { default: exifr } = await import('exifr');
  const output = (await exifr.parse(block, decoderOptions)) as
    Record<string, Record<number, unknown>> | undefined;
  const named = (tags: ReadonlyMap<number, string>, part: Record<number, unknown> | undefined) =>
    [...tags].map(([tag, name]) => [name, part?.[tag]] as const);
  return new Map([
    ...named(exifTags.main, output?.['ifd0']),
    ...named(exifTags.exif, output?.['exif']),
    ...named(exifTags.gps, output?.['gps']),
  ]);
}

function exifValues(decoded: Decoded): CaptureValues {
  return {
    number: (name) => recordedNumber(decoded, name),
    latitude: coordinate(decoded, 'GPSLatitude'),
    longitude: coordinate(decoded, 'GPSLongitude'),
    directionReference: text(decoded, 'GPSImgDirectionRef'),
    time: recordedTime(decoded, 'Original') ?? recordedTime(decoded, 'Digitized'),
    make: text(decoded, 'Make'),
    model: text(decoded, 'Model'),
    cameraSource: 'EXIF Make and Model',
  };
}

function numbers(value: unknown): number[] {
  if (typeof value === 'number') return [value];
  if (Array.isArray(value)) return value.filter((each) => typeof each === 'number');
  if (ArrayBuffer.isView(value)) return Array.from(value as Uint8Array);
  return [];
}

// Tags of which a writer stored several values (sensitivity for one) count by their first.
function recordedNumber(decoded: Decoded, name: string): RecordedNumber | undefined {
  const [value] = numbers(decoded.get(name));
  return value === undefined ? undefined : { value, raw: String(value), source: `EXIF ${name}` };
}

function integerIn(decoded: Decoded, name: string, low: number, high: number): number | undefined {
  const [value] = numbers(decoded.get(name));
  return value !== undefined && Number.isInteger(value) && value >= low && value <= high ? value : undefined;
}

function coordinate(decoded: Decoded, name: string): RecordedCoordinate | undefined {
  const parts = numbers(decoded.get(name));
  if (parts.length < 1 || parts.length > 3) return undefined;
  const [degrees = 0, minutes = 0, seconds = 0] = parts;
  const value = degrees + minutes / 60 + seconds / 3600;
  const recorded = { value, raw: parts.join(' '), source: `EXIF ${name}` };
  return { degrees: recorded, hemisphere: text(decoded, `${name}Ref`) };
}

function recordedTime(decoded: Decoded, kind: 'Original' | 'Digitized'): CaptureValues['time'] {
  const date = text(decoded, `DateTime${kind}`);
  const subSeconds = text(decoded, `SubSecTime${kind}`);
  const offset = text(decoded, `OffsetTime${kind}`);
  const parsed = exifTime({ date, subSeconds, offset });
  return parsed && { parsed, raw: date ?? '', source: `EXIF DateTime${kind}` };
}

function receiverTime(decoded: Decoded): GpsTime | undefined {
  const date = text(decoded, 'GPSDateStamp');
  const time = numbers(decoded.get('GPSTimeStamp'));
  const atMs = exifGpsTime(date, time);
  return atMs === undefined
    ? undefined
    : { atMs, raw: `${date} ${time.join(':')}`, source: 'EXIF GPSDateStamp and GPSTimeStamp' };
}

/** Text up to its first NUL. Blank text is no text. */
function text(decoded: Decoded, name: string): string | undefined {
  const value = decoded.get(name);
  if (!(value instanceof Uint8Array)) return undefined;
  const end = value.indexOf(0);
  const bytes = end < 0 ? value : value.subarray(0, end);
  return decodeText(bytes).trim() || undefined;
}
