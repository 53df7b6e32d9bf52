import type { OpenMedia } from '../programs/openMedia.ts';
import { fileSource, type ByteSource } from '../containers/byteSource.ts';
import { heifContents } from '../containers/heif.ts';
import { jpegContents } from '../containers/jpeg.ts';
import { pngContents } from '../containers/png.ts';
import { tiffContents } from '../containers/tiff.ts';
import { webpContents } from '../containers/webp.ts';
import { maxXmpBytes, type StillContents, type PictureHeader } from '../containers/contents.ts';
import { readExif } from './exif.ts';
import {
  combinedReadings,
  emptyReading,
  optionalSighting,
  sighting,
  type Reading,
  type FactSighting,
} from './sighting.ts';
import { isoStillFormat } from './sniff.ts';
import { zonesByGpsTime } from './timeZone.ts';
import { parseXmp } from './xmp.ts';

type ExifReading = Awaited<ReturnType<typeof readExif>>;
type XmpReading = ReturnType<typeof parseXmp>;

/** Everything that a still says of itself; undefined where it is none that is known here. */
export async function readStill(media: OpenMedia): Promise<Reading | undefined> {
  const contents = stillContents(fileSource(media));
  if (contents === undefined) return undefined;
  const exif = await firstExif(contents);
  const xmp = allXmp(contents);
  const recorded = combinedReadings([exif, ...xmp]);
  const gpsTime = [exif, ...xmp].map((reading) => reading.gpsTime).find((time) => time !== undefined);
  const zoned = zonesByGpsTime(recorded.sightings, gpsTime);
  return {
    sightings: [...pictureFacts(contents, exif), ...zoned.sightings],
    refusals: [...contents.refusals, ...recorded.refusals, ...zoned.refusals],
    writtenBy: xmp[0]?.writtenBy,
  };
}

/** Recognises the container by its first bytes, never by a name, and cuts out what it carries. */
export function stillContents(source: ByteSource): StillContents | undefined {
  const head = source.read(0, 256);
  const text = head.toString('latin1');
  if (text.startsWith('\xff\xd8\xff')) return jpegContents(source);
  if (text.startsWith('\x89PNG\r\n\x1a\n')) return pngContents(source);
  if (text.startsWith('II') || text.startsWith('MM'))
    return head.length >= 8 ? tiffContents(source) : undefined;
  if (text.startsWith('RIFF') && text.startsWith('WEBP', 8)) return webpContents(source);
  const format = isoStillFormat(head);
  return format && heifContents(source, format);
}

/** The facts of an XMP file beside a recording. `name` is its file name, for people. */
export function readXmpSidecar(media: OpenMedia, name: string): Reading {
  const bytes = fileSource(media).read(0, maxXmpBytes + 1);
  const reading = parseXmp(bytes, { carrier: 'xmp-sidecar', label: `XMP sidecar ${name}` });
  const { sightings, refusals } = zonesByGpsTime(reading.sightings, reading.gpsTime);
  return { sightings, refusals: [...reading.refusals, ...refusals] };
}

// The first block counts: a second one is what an editor left behind, and nothing says which is the older.
async function firstExif({ exif }: StillContents): Promise<ExifReading> {
  const [block, ...more] = exif;
  if (!block) return emptyReading;
  const reading = await readExif(block);
  if (more.length === 0) return reading;
  const reason = 'only the first EXIF block of a still is read';
  const refusal = { what: 'EXIF', raw: `${more.length} more`, source: 'EXIF', reason };
  return { ...reading, refusals: [...reading.refusals, refusal] };
}

function allXmp(contents: StillContents): XmpReading[] {
  const origin = { carrier: 'xmp-embedded', label: 'XMP' } as const;
  const [packet, ...more] = contents.xmp;
  const parts = contents.extendedXmp ?? [];
  const readings = packet ? [parseXmp(packet, origin)] : [];
  const guid = readings[0]?.extendedGuid;
  if (guid !== undefined) {
    const joined = joinedExtendedXmp(parts, guid);
    if (typeof joined === 'string') readings.push(refused('extended XMP', guid, joined));
    else readings.push(parseXmp(joined, { ...origin, label: 'extended XMP' }));
  }
  const foreign = parts.filter((part) => part.guid !== guid).length;
  if (foreign > 0)
    readings.push(refused('extended XMP', `${foreign} parts`, 'the main packet does not name them'));
  if (more.length > 0)
    readings.push(refused('XMP packet', `${more.length} more`, 'only the first packet is read'));
  return readings;
}

/**
 * Joins the parts that carry one GUID, in whatever order they stand. The answer is the packet, or the reason why there
 * is none: a packet with a hole or with foreign text in it is no packet (XMP specification part 3, 1.1.3.1).
 */
function joinedExtendedXmp(parts: NonNullable<StillContents['extendedXmp']>, guid: string): Buffer | string {
  const own = parts.filter((part) => part.guid === guid).toSorted((a, b) => a.offset - b.offset);
  const [first] = own;
  if (!first) return 'no part carries the GUID that the main packet names';
  if (first.totalBytes > maxXmpBytes) return `it claims ${first.totalBytes} bytes; ${maxXmpBytes} are read`;
  if (own.some((part) => part.totalBytes !== first.totalBytes)) return 'its parts disagree about its length';
  let end = 0;
  for (const part of own) {
    if (part.offset !== end) return `its bytes from ${Math.min(end, part.offset)} are missing or stand twice`;
    end += part.bytes.length;
  }
  if (end !== first.totalBytes) return `${end} of its ${first.totalBytes} bytes are there`;
  return Buffer.concat(own.map((part) => part.bytes));
}

function refused(what: string, raw: string, reason: string): XmpReading {
  return { sightings: [], refusals: [{ what, raw, source: 'XMP', reason }] };
}

const formatNames: Readonly<Record<StillContents['format'], string>> = {
  jpeg: 'JPEG',
  png: 'PNG',
  tiff: 'TIFF',
  dng: 'DNG',
  webp: 'WebP',
  heif: 'HEIF',
  avif: 'AVIF',
};

// Clockwise turn that shows each EXIF orientation upright (CIPA DC-008, Orientation, after TIFF 6.0); for the mirrored
// ones (2, 4, 5, 7) the turn after mirroring left to right.
const turns: Readonly<Record<number, number>> = { 1: 0, 2: 0, 3: 180, 4: 180, 5: 270, 6: 90, 7: 90, 8: 270 };

const fullRangeFormats = new Set<StillContents['format']>(['jpeg', 'png', 'webp']);
const srgbColorSpace = 1;

/** What the header of a still says of its picture; EXIF adds how it is turned and what its colours mean. */
function pictureFacts({ format, picture }: StillContents, exif: ExifReading): FactSighting[] {
  const source = `${formatNames[format]} header`;
  const range = picture.range ?? (fullRangeFormats.has(format) ? 'full' : undefined);
  return [
    sighting('codec', format, 'stream', source),
    ...sizeFacts(format, picture, exif, source),
    ...optionalSighting('bitDepth', picture.bitDepth, 'stream', source),
    ...optionalSighting('range', range, 'stream', source),
    ...transferFacts(format, picture, exif, source),
  ];
}

function sizeFacts(
  format: StillContents['format'],
  { width, height, rotationDegrees: ownRotation = 0 }: PictureHeader,
  { orientation = 0 }: ExifReading,
  header: string,
): FactSighting[] {
  // HEIF turns by its own properties and gives EXIF orientation no say (ISO/IEC 23008-12 annex A).
  const turnsItself = format === 'heif' || format === 'avif';
  const rotationDegrees = turnsItself ? ownRotation : turns[orientation];
  const isOnItsSide = rotationDegrees === 90 || rotationDegrees === 270;
  const turner = turnsItself ? 'its irot property' : 'EXIF Orientation';
  const source = isOnItsSide ? `${header}, turned by ${turner}` : header;
  const size = width && height ? (isOnItsSide ? [height, width] : [width, height]) : [];
  return [
    ...optionalSighting('width', size[0], 'stream', source),
    ...optionalSighting('height', size[1], 'stream', source),
    ...(turnsItself
      ? optionalSighting('rotationDegrees', rotationDegrees, 'stream', header)
      : optionalSighting('rotationDegrees', rotationDegrees, 'exif', turner)),
  ];
}

function transferFacts(
  format: StillContents['format'],
  picture: PictureHeader,
  { colorSpace }: ExifReading,
  source: string,
): FactSighting[] {
  if (picture.transfer) return [sighting('transfer', picture.transfer, 'stream', source)];
  if (!fullRangeFormats.has(format) || picture.bitDepth !== 8) return [];
  if (picture.colour === 'srgb') return [sighting('transfer', 'srgb', 'stream', source)];
  if (colorSpace === srgbColorSpace) return [sighting('transfer', 'srgb', 'exif', 'EXIF ColorSpace')];
  if (colorSpace !== undefined || picture.colour === 'profile') return [];
  return [sighting('transfer', 'srgb', 'stream', `${source} (assumed: no colour space is recorded)`)];
}
