import type { Refusal } from '../domain/recording.ts';
import type { OpenMedia } from '../programs/openMedia.ts';
import { fileSource } from './containers/byteSource.ts';
import { stillContents } from './containers/stillContainer.ts';
import { joinedExtendedXmp, maxXmpBytes } from './containers/xmpPackets.ts';
import type { StillContents } from './containers/stillContents.ts';
import type { ExifReading } from './exif.ts';
import { readExif } from './exif.ts';
import { zonesByGpsTime } from './gpsTime.ts';
import { pictureFacts } from './pictureFacts.ts';
import type { Reading } from './sighting.ts';
import type { XmpReading } from './xmp.ts';
import { parseXmp } from './xmp.ts';

/** Everything that a still says of itself; undefined where it is none that is known here. */
export async function readStill(media: OpenMedia): Promise<Reading | undefined> {
  const contents = stillContents(fileSource(media));
  if (contents === undefined) return undefined;
  const exif = await firstExif(contents);
  const xmp = allXmp(contents);
  const recorded = [...exif.sightings, ...xmp.flatMap((each) => each.sightings)];
  const gpsTime = exif.gpsTime ?? xmp.find((each) => each.gpsTime !== undefined)?.gpsTime;
  const zoned = zonesByGpsTime(recorded, gpsTime);
  return {
    sightings: [...pictureFacts(contents, exif), ...zoned.sightings],
    refusals: [
      ...contents.refusals,
      ...exif.refusals,
      ...xmp.flatMap((each) => each.refusals),
      ...zoned.refusals,
    ],
    writtenBy: xmp[0]?.writtenBy === undefined ? undefined : xmp[0].writtenBy,
  };
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
