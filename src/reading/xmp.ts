import { displayText } from '../domain/displayText.ts';
import { captureFacts, type CaptureNumberName, type CaptureValues } from './captureFacts.ts';
import { maxXmpBytes } from './containers/xmpPackets.ts';
import { isFirmwareVersion } from './editedExport.ts';
import { flightFacts } from './flightFacts.ts';
import type { RecordedCoordinate } from './position.ts';
import type { RecordedNumber } from './recordedNumber.ts';
import { exifTime, momentMs, xmpTime, type RecordedTime } from './recordedTime.ts';
import { sighting, type Carrier, type FactSighting, type Reading } from './sighting.ts';
import type { GpsTime } from './timeZone.ts';
import { xmpNumber, xmpProperties, type XmpProperties } from './xmpProperties.ts';

export interface XmpReading extends Reading {
  /** Names the extended packet that belongs to this one (xmpNote:HasExtendedXMP). */
  readonly extendedGuid?: string;
  readonly gpsTime?: GpsTime;
}

/** Where the packet came from. `label` opens every source: "XMP", "XMP sidecar CLIP0003.XMP". */
interface XmpOrigin {
  readonly carrier: Carrier;
  readonly label: string;
}

// ISO 16684-2, CIPA DC-010 and Adobe's XMP specification parts 1 to 3.
const namespaces = {
  exif: 'http://ns.adobe.com/exif/1.0/',
  exifEX: 'http://cipa.jp/exif/1.0/',
  tiff: 'http://ns.adobe.com/tiff/1.0/',
  xmp: 'http://ns.adobe.com/xap/1.0/',
  xmpNote: 'http://ns.adobe.com/xmp/note/',
  xmpMM: 'http://ns.adobe.com/xap/1.0/mm/',
  xmpDM: 'http://ns.adobe.com/xmp/1.0/DynamicMedia/',
} as const;

type QualifiedName = readonly [prefix: keyof typeof namespaces, local: string];

/** Names that differ from the EXIF ones or stand in another namespace than exif: (CIPA DC-010). */
const otherNames: { readonly [N in CaptureNumberName]?: readonly QualifiedName[] } = {
  PhotographicSensitivity: [
    ['exifEX', 'PhotographicSensitivity'],
    ['exif', 'ISOSpeedRatings'],
  ],
  SensitivityType: [['exifEX', 'SensitivityType']],
  StandardOutputSensitivity: [['exifEX', 'StandardOutputSensitivity']],
  RecommendedExposureIndex: [['exifEX', 'RecommendedExposureIndex']],
  ISOSpeed: [['exifEX', 'ISOSpeed']],
  CompositeImage: [['exifEX', 'CompositeImage']],
};

/** The facts of one XMP packet, given as the bytes that stood in the file. */
export function parseXmp(packet: Uint8Array, origin: XmpOrigin): XmpReading {
  const refused = (reason: string): XmpReading => ({
    sightings: [],
    refusals: [{ what: 'XMP packet', raw: `${packet.length} bytes`, source: origin.label, reason }],
  });
  if (packet.length > maxXmpBytes) return refused(`it is larger than ${maxXmpBytes} bytes`);
  const properties = xmpProperties(packet);
  if (typeof properties === 'string') return refused(properties);
  const facts = captureFacts(xmpValues(properties, origin.label), origin.carrier);
  const flight = flightFacts(properties, origin);
  return {
    sightings: [...facts.sightings, ...flight.sightings, ...startTimecode(properties, origin)],
    refusals: [...facts.refusals, ...flight.refusals],
    extendedGuid: first(properties, ['xmpNote', 'HasExtendedXMP']),
    gpsTime: receiverTime(properties, origin),
    writtenBy: writtenBy(properties, origin),
  };
}

/**
 * XMP specification part 2, xmpMM:History: what programs did to the file; xmp:CreatorTool: the first of them, or the
 * camera's own.
 */
function writtenBy(properties: XmpProperties, { label }: XmpOrigin): string | undefined {
  const tool = first(properties, ['xmp', 'CreatorTool']);
  if (tool !== undefined && !isFirmwareVersion(tool))
    return `${label} xmp:CreatorTool "${displayText(tool.slice(0, 80))}"`;
  return properties.has(`${namespaces.xmpMM} History`) ? `${label} xmpMM:History` : undefined;
}

// XMP specification part 2, xmpDM:Timecode: hh:mm:ss:ff, with ";" before the frames for drop-frame.
const timecode = /^\d\d:\d\d:\d\d[:;]\d{2,3}$/;

function startTimecode(properties: XmpProperties, { carrier, label }: XmpOrigin): FactSighting[] {
  const field = `${namespaces.xmpDM} startTimecode/${namespaces.xmpDM} timeValue`;
  const value = properties.get(field)?.[0]?.trim() ?? '';
  return timecode.test(value)
    ? [sighting('startTimecode', value, carrier, `${label} xmpDM:startTimecode`)]
    : [];
}

function xmpValues(properties: XmpProperties, label: string): CaptureValues {
  return {
    number: (name) => recordedNumber(properties, name, label),
    latitude: coordinate(properties, 'GPSLatitude', label),
    longitude: coordinate(properties, 'GPSLongitude', label),
    directionReference: first(properties, ['exif', 'GPSImgDirectionRef']),
    time: recordedTime(properties, label),
    make: first(properties, ['tiff', 'Make']),
    model: first(properties, ['tiff', 'Model']),
    cameraSource: `${label} tiff:Make and tiff:Model`,
  };
}

function first(properties: XmpProperties, [prefix, local]: QualifiedName): string | undefined {
  return properties.get(`${namespaces[prefix]} ${local}`)?.[0]?.trim() || undefined;
}

function recordedNumber(
  properties: XmpProperties,
  name: CaptureNumberName,
  label: string,
): RecordedNumber | undefined {
  for (const qualified of otherNames[name] ?? ([['exif', name]] as const)) {
    const raw = first(properties, qualified);
    const value = raw === undefined ? undefined : xmpNumber(raw);
    if (raw !== undefined && value !== undefined) return { value, raw, source: sourceOf(label, qualified) };
  }
  return undefined;
}

function sourceOf(label: string, [prefix, local]: QualifiedName): string {
  return `${label} ${prefix}:${local}`;
}

// "DDD,MM.mmk" or "DDD,MM,SSk" (XMP specification part 2, GPSCoordinate).
const gpsCoordinate = /^(\d{1,3}),(\d{1,2}(?:\.\d{1,20})?)(?:,(\d{1,2}(?:\.\d{1,20})?))?([A-Za-z])?$/;

function coordinate(
  properties: XmpProperties,
  local: 'GPSLatitude' | 'GPSLongitude',
  label: string,
): RecordedCoordinate | undefined {
  const raw = first(properties, ['exif', local]);
  const fields = gpsCoordinate.exec(raw ?? '');
  if (raw === undefined || !fields) return undefined;
  const [, degrees, minutes, seconds = '0', hemisphere] = fields;
  const value = Number(degrees) + Number(minutes) / 60 + Number(seconds) / 3600;
  return { degrees: { value, raw, source: sourceOf(label, ['exif', local]) }, hemisphere };
}

function recordedTime(properties: XmpProperties, label: string): CaptureValues['time'] {
  const names: readonly QualifiedName[] = [
    ['exif', 'DateTimeOriginal'],
    ['exif', 'DateTimeDigitized'],
    ['xmp', 'CreateDate'],
  ];
  for (const name of names) {
    const raw = first(properties, name);
    const parsed = raw === undefined ? undefined : xmpTime(raw);
    if (raw !== undefined && parsed) return { parsed, raw, source: sourceOf(label, name) };
  }
  return undefined;
}

const utcTime = / UTCTime$/;

/** exif:GPSTimeStamp is a whole date; some aircraft write a property of their own, in the form of EXIF. */
function receiverTime(properties: XmpProperties, { label }: XmpOrigin): GpsTime | undefined {
  const stamp = first(properties, ['exif', 'GPSTimeStamp']);
  if (stamp !== undefined) return gpsTime(stamp, xmpTime(stamp), sourceOf(label, ['exif', 'GPSTimeStamp']));
  const [, [own] = []] = [...properties].find(([name]) => utcTime.test(name)) ?? [];
  if (own === undefined) return undefined;
  const time = exifTime({ date: own, subSeconds: undefined, offset: undefined });
  return gpsTime(own, time, `${label} UTCTime`);
}

function gpsTime(raw: string, time: RecordedTime, source: string): GpsTime | undefined {
  if (time === undefined || 'reason' in time) return undefined;
  const atMs = momentMs(time.recordedAt);
  return Number.isNaN(atMs) ? undefined : { atMs, raw, source };
}
