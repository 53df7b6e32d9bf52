import { displayText } from '../domain/displayText.ts';
import type { Refusal } from '../domain/recording.ts';
import { captureFacts, isFirmwareVersion, type CaptureValues } from './captureFacts.ts';
import { maxXmpBytes } from '../containers/contents.ts';
import { judgedNumber, type RecordedNumber, type BoundedFact } from './recordedNumber.ts';
import { exifTime, momentMs, xmpTime, type RecordedTime } from './recordedTime.ts';
import { sighting, type Carrier, type FactSighting, type Reading } from './sighting.ts';
import type { GpsTime } from './timeZone.ts';
import { xmpNumber, xmpProperties, type XmpProperties } from './xmpProperties.ts';

interface XmpReading extends Reading {
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

type CaptureNumberName = Parameters<CaptureValues['number']>[0];

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
): CaptureValues['latitude'] {
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

// What is known of the XMP that aircraft write, before any code (common practice, no source, except where a line says
// more):
// - Each maker has a namespace of its own, so a property is known by its local name alone, and only in a namespace that
//   speaks of a flight: "Height" of a preview is another thing.
// - The attitude of the gimbal or of the camera says where the picture looks. That of the aircraft ("PitchAngle",
//   "FlightPitchDegree") does not: a survey looks straight down from an aircraft that flies level.
// - A gimbal's pitch counts from the horizon, -90 is straight down. A camera's pitch counts from the horizon with some
//   writers and from straight down with others; only what lies well below the horizon by the first cannot be the second.

type FlightFact = Extract<
  BoundedFact,
  'heightOverStartMetres' | 'groundSpeedMetresPerSecond' | 'cameraPitchDegrees' | 'headingDegrees'
>;

/** Numbers of one namespace, by local name in lower case and without "_". */
type Flight = ReadonlyMap<string, RecordedNumber>;

const flightWords = /pitch|yaw|roll|speed/;
const endings = ['degree', 'degrees', 'angle', ''];

/** Heights, speed and where the camera looks. Nothing that cannot be true becomes a fact. */
function flightFacts(properties: XmpProperties, { carrier, label }: XmpOrigin): Reading {
  const sightings: FactSighting[] = [];
  const refusals: Refusal[] = [];
  const add = (fact: FlightFact, recorded: RecordedNumber | undefined) => {
    if (recorded === undefined || sightings.some((each) => each.fact === fact)) return;
    const { value, refusal } = judgedNumber(fact, recorded);
    if (value !== undefined) sightings.push(sighting(fact, value, carrier, recorded.source));
    if (refusal !== undefined) refusals.push(refusal);
  };
  for (const flight of flights(properties, label)) {
    add('heightOverStartMetres', firstNamed(flight, ['relativealtitude', 'relativeheight', 'height']));
    add('groundSpeedMetresPerSecond', flight.get('groundspeed') ?? acrossAndAlong(flight));
    add('cameraPitchDegrees', cameraPitch(flight));
    add('headingDegrees', wrapped(attitude(flight, 'gimbal', 'yaw') ?? attitude(flight, 'camera', 'yaw')));
  }
  return { sightings, refusals };
}

function flights(properties: XmpProperties, label: string): readonly Flight[] {
  const spaces = new Map<string, Map<string, RecordedNumber>>();
  for (const [key, [text = '']] of properties) {
    const [uri = '', local = '', ...field] = key.split(' ');
    const value = xmpNumber(text.trim());
    if (value === undefined || field.length > 0) continue;
    const space = spaces.get(uri) ?? new Map<string, RecordedNumber>();
    space.set(local.toLowerCase().replaceAll('_', ''), { value, raw: text, source: `${label} ${local}` });
    spaces.set(uri, space);
  }
  return [...spaces.values()].filter((space) => [...space.keys()].some((name) => flightWords.test(name)));
}

function firstNamed(flight: Flight, names: readonly string[]): RecordedNumber | undefined {
  const name = names.find((each) => flight.has(each));
  return name === undefined ? undefined : flight.get(name);
}

function attitude(
  flight: Flight,
  of: 'gimbal' | 'camera',
  axis: 'pitch' | 'yaw',
): RecordedNumber | undefined {
  return firstNamed(
    flight,
    endings.map((ending) => `${of}${axis}${ending}`),
  );
}

/** Degrees; a camera that is turned this far back from straight down hangs upside down. */
const surelyBelowHorizon = -30;

function cameraPitch(flight: Flight): RecordedNumber | undefined {
  const gimbal = attitude(flight, 'gimbal', 'pitch');
  if (gimbal !== undefined) return gimbal;
  const camera = attitude(flight, 'camera', 'pitch');
  return camera !== undefined && camera.value <= surelyBelowHorizon ? camera : undefined;
}

/** Yaw counts from -180 to 180 with some writers. */
function wrapped(yaw: RecordedNumber | undefined): RecordedNumber | undefined {
  if (yaw === undefined || Math.abs(yaw.value) > 360) return yaw;
  return { ...yaw, value: (yaw.value + 360) % 360 };
}

function acrossAndAlong(flight: Flight): RecordedNumber | undefined {
  const [x, y] = [flight.get('flightxspeed'), flight.get('flightyspeed')];
  if (x === undefined || y === undefined) return undefined;
  return {
    value: Math.hypot(x.value, y.value),
    raw: `${x.raw}, ${y.raw}`,
    source: `${x.source} and FlightYSpeed`,
  };
}
