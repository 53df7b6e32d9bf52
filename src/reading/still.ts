import { HalfturnError } from '../domain/halfturnError.ts';
import type { Refusal } from '../domain/recording.ts';
import { noteChance } from '../programs/chance.ts';
import type { OpenMedia } from '../programs/openMedia.ts';
import { fileSource } from './containers/byteSource.ts';
import { stillContents } from './containers/container.ts';
import { joinedExtendedXmp } from './containers/extendedXmp.ts';
import type { StillContents } from './containers/stillContents.ts';
import { maxXmpBytes } from './containers/stillContents.ts';
import type { ExifReading } from './exif.ts';
import { readExif } from './exif.ts';
import { pictureFacts } from './pictureFacts.ts';
import type { Reading } from './sighting.ts';
import type { XmpReading } from './xmp.ts';
import { parseXmp } from './xmp.ts';

/** Everything that a still says of itself. Throws HalfturnError where it is no still that is known here. */
export async function readStill(media: OpenMedia, displayName: string): Promise<Reading> {
  const contents = readable(displayName, () => stillContents(fileSource(media)));
  if (!contents) {
    throw new HalfturnError(
      `${displayName} is no still that can be read`,
      'Stills are read as JPEG, PNG, TIFF, DNG, WebP, HEIF and AVIF; convert it or leave it out of the dump.',
    );
  }
  const exif = await firstExif(contents);
  const xmp = allXmp(contents);
  return {
    sightings: [...pictureFacts(contents, exif), ...exif.sightings, ...xmp.flatMap((each) => each.sightings)],
    refusals: [...contents.refusals, ...exif.refusals, ...xmp.flatMap((each) => each.refusals)],
    ...(xmp[0]?.writtenBy === undefined ? {} : { writtenBy: xmp[0].writtenBy }),
  };
}

/** The facts of an XMP file beside a recording. */
export async function readXmpSidecar(media: OpenMedia, displayName: string): Promise<Reading> {
  const label = `XMP sidecar ${displayName}`;
  const bytes = readable(displayName, () => fileSource(media).read(0, maxXmpBytes + 1));
  const { sightings, refusals } = parseXmp(bytes, { carrier: 'xmp-sidecar', label });
  return { sightings, refusals };
}

// The first block counts: a second one is what an editor left behind, and nothing says which is the older.
async function firstExif({ exif }: StillContents): Promise<ExifReading> {
  const [block, ...more] = exif;
  if (!block) return { sightings: [], refusals: [] };
  const reading = await readExif(block);
  if (more.length === 0) return reading;
  const reason = 'only the first EXIF block of a still is read';
  const refusal: Refusal = { what: 'EXIF', raw: `${more.length} more`, source: 'EXIF', reason };
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

function refused(what: string, raw: string, reason: string): XmpReading {
  return { sightings: [], refusals: [{ what, raw, source: 'XMP', reason }] };
}

function readable<T>(displayName: string, read: () => T): T {
  try {
    return read();
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    if (code === undefined || (error as NodeJS.ErrnoException).syscall !== 'read') throw error;
    noteChance();
    throw new HalfturnError(`${displayName} could not be read (${code})`, 'Copy it from the card again.');
  }
}
