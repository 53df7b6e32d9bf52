import { exposureSecondsFromTimeValue, fNumberFromApertureValue } from '../domain/exposure.ts';
import type { FactName, FactValues, Refusal } from '../domain/recording.ts';
import { judgedNumber, type BoundedFact, type RecordedNumber } from './recordedNumber.ts';
import type { RecordedTime } from './recordedTime.ts';
import {
  combinedReadings,
  emptyReading,
  sighting,
  type Carrier,
  type FactSighting,
  type Reading,
} from './sighting.ts';

/** Names of the Exif standard, which XMP shares, in the order in which a person would look for them. */
type CaptureNumberName =
  | 'ExposureTime'
  | 'ShutterSpeedValue'
  | 'FNumber'
  | 'ApertureValue'
  | 'PhotographicSensitivity'
  | 'SensitivityType'
  | 'StandardOutputSensitivity'
  | 'RecommendedExposureIndex'
  | 'ISOSpeed'
  | 'ExposureBiasValue'
  | 'FocalLength'
  | 'FocalLengthIn35mmFilm'
  | 'ExposureProgram'
  | 'ExposureMode'
  | 'MeteringMode'
  | 'WhiteBalance'
  | 'CompositeImage'
  | 'GPSAltitude'
  | 'GPSAltitudeRef'
  | 'GPSImgDirection';

/** A coordinate before its sign: degrees and the letter that was recorded with them. */
interface RecordedCoordinate {
  readonly degrees: RecordedNumber;
  readonly hemisphere: string | undefined;
}

/** What a still recorded, in the standard's own terms, whichever carrier it came from. */
export interface CaptureValues {
  readonly number: (name: CaptureNumberName) => RecordedNumber | undefined;
  readonly latitude: RecordedCoordinate | undefined;
  readonly longitude: RecordedCoordinate | undefined;
  /** `T` true north, `M` magnetic north. */
  readonly directionReference: string | undefined;
  readonly time: { readonly parsed: RecordedTime; readonly raw: string; readonly source: string } | undefined;
  readonly make: string | undefined;
  readonly model: string | undefined;
  /** Where make and model were read. */
  readonly cameraSource: string;
}

/** Turns what a still recorded into facts. Pure; nothing that cannot be true becomes a fact. */
export function captureFacts(values: CaptureValues, carrier: Carrier): Reading {
  return combinedReadings([
    exposureFacts(values, carrier),
    firstPlausible(
      'fNumber',
      [values.number('FNumber'), fromApex(values, 'FNumber', 'ApertureValue', fNumberFromApertureValue)],
      carrier,
    ),
    isoFacts(values, carrier),
    firstPlausible('exposureBiasStops', [values.number('ExposureBiasValue')], carrier),
    firstPlausible('focalLengthMm', [values.number('FocalLength')], carrier),
    firstPlausible('equivalentFocalLengthMm', [values.number('FocalLengthIn35mmFilm')], carrier),
    positionFacts(values, carrier),
    timeFacts(values, carrier),
    wordFacts(values, carrier),
    cameraFacts(values, carrier),
    compositeFacts(values, carrier),
  ]);
}

/** The first candidate that can be true; those before it that cannot are refused. */
function firstPlausible(
  fact: BoundedFact & FactName,
  candidates: readonly (RecordedNumber | undefined)[],
  carrier: Carrier,
): Reading {
  const refusals: Refusal[] = [];
  for (const candidate of candidates) {
    if (!candidate) continue;
    const { value, refusal } = judgedNumber(fact, candidate);
    if (value !== undefined)
      return { sightings: [sighting(fact, value, carrier, candidate.source)], refusals };
    if (refusal) refusals.push(refusal);
  }
  return { sightings: [], refusals };
}

// CompositeImage 2 and 3: made from several exposures (Exif 2.32). The recorded time then stands for one of them or for
// their sum, which the source says for the person who reads it.
function compositeFacts({ number }: CaptureValues, carrier: Carrier): Reading {
  const recorded = number('CompositeImage');
  const kind = recorded && compositeKinds[recorded.value];
  return kind ? sightedAs('composite', kind, carrier, recorded.source) : emptyReading;
}

const compositeKinds: Readonly<Record<number, FactValues['composite']>> = {
  2: 'general',
  3: 'while-shooting',
};

function sightedAs<N extends FactName>(...fact: Parameters<typeof sighting<N>>): Reading {
  return { sightings: [sighting(...fact)], refusals: [] };
}

function exposureFacts(values: CaptureValues, carrier: Carrier): Reading {
  const isComposite = compositeFacts(values, carrier).sightings.length > 0;
  const candidates = [
    values.number('ExposureTime'),
    fromApex(values, 'ExposureTime', 'ShutterSpeedValue', exposureSecondsFromTimeValue),
  ];
  const marked = candidates.map((candidate) =>
    candidate && isComposite
      ? { ...candidate, source: `${candidate.source} (put together from several exposures)` }
      : candidate,
  );
  return firstPlausible('exposureSeconds', marked, carrier);
}

/**
 * What an APEX value stands for. One of 0 means f/1 or one second, but not beside a number of 0: then neither was known.
 */
function fromApex(
  values: CaptureValues,
  name: 'FNumber' | 'ExposureTime',
  apexName: 'ApertureValue' | 'ShutterSpeedValue',
  numberOf: (apex: number) => number,
): RecordedNumber | undefined {
  const apex = values.number(apexName);
  if (apex === undefined || (apex.value === 0 && values.number(name)?.value === 0)) return undefined;
  return { ...apex, value: numberOf(apex.value) };
}

// PhotographicSensitivity is a 16-bit number; 65535 stands for "65535 or more" (CIPA DC-008, 4.6.5, tag 34855).
const overflow = 65_535;

/** Which tags hold the full value for each SensitivityType (CIPA DC-008, tag 34864). */
const namesByType: Readonly<Record<number, readonly CaptureNumberName[]>> = {
  1: ['StandardOutputSensitivity'],
  2: ['RecommendedExposureIndex'],
  3: ['ISOSpeed'],
  4: ['StandardOutputSensitivity', 'RecommendedExposureIndex'],
  5: ['StandardOutputSensitivity', 'ISOSpeed'],
  6: ['RecommendedExposureIndex', 'ISOSpeed'],
};
const anyType = ['StandardOutputSensitivity', 'RecommendedExposureIndex', 'ISOSpeed'] as const;

/** The sensitivity, read from the wider tags where the 16-bit one is absent or says "65535 or more". */
function isoFacts(values: CaptureValues, carrier: Carrier): Reading {
  const short = values.number('PhotographicSensitivity');
  if (short && short.value !== overflow && short.value !== 0) return firstPlausible('iso', [short], carrier);
  const type = values.number('SensitivityType')?.value ?? 0;
  const wide = (namesByType[type] ?? anyType).map(values.number).find((number) => number && number.value > 0);
  if (wide) return firstPlausible('iso', [wide], carrier);
  if (short?.value !== overflow) return emptyReading;
  const reason = 'it stands for "65535 or more", and no wider value is recorded';
  return { sightings: [], refusals: [{ what: 'iso', raw: short.raw, source: short.source, reason }] };
}

// What is known of GPS tags in the wild, before any code:
// - Without the letter N, S, E or W a coordinate is worthless: guessing it puts half of all flights on the wrong
//   hemisphere. Lower-case letters and words are not of the standard.
// - Coordinates come in one, two or three parts (degrees, minutes, seconds), each possibly with a fraction.
// - Receivers without a fix write 0, 0 or 0/0.
// - Altitudes are unsigned; GPSAltitudeRef carries the sign. Exif 3.0 adds 2 and 3 for heights over the ellipsoid
//   (from memory).

const belowReference = new Set([1, 3]);
const overEllipsoid = new Set([2, 3]);
const directionNames: Readonly<Record<string, string>> = { T: 'true north', M: 'magnetic north' };

function positionFacts(values: CaptureValues, carrier: Carrier): Reading {
  const latitude = signed('latitude', values.latitude, 'N', 'S', carrier);
  const longitude = signed('longitude', values.longitude, 'E', 'W', carrier);
  return combinedReadings([place(latitude, longitude), altitude(values, carrier), heading(values, carrier)]);
}

/** Half a position is none. */
function place(latitude: Reading, longitude: Reading): Reading {
  const { sightings, refusals } = combinedReadings([latitude, longitude]);
  if (sightings.length < 2) return { sightings: [], refusals };
  if (sightings.some(({ value }) => value !== 0)) return { sightings, refusals };
  const reason = 'receivers without a fix write 0, 0';
  return {
    sightings: [],
    refusals: [{ what: 'latitude', raw: '0, 0', source: sightings[0]!.source, reason }],
  };
}

function signed(
  fact: 'latitude' | 'longitude',
  coordinate: RecordedCoordinate | undefined,
  positive: string,
  negative: string,
  carrier: Carrier,
): Reading {
  if (!coordinate || Number.isNaN(coordinate.degrees.value)) return emptyReading;
  const { degrees, hemisphere } = coordinate;
  if (hemisphere === positive) return firstPlausible(fact, [degrees], carrier);
  if (hemisphere === negative)
    return firstPlausible(fact, [{ ...degrees, value: 0 - degrees.value }], carrier);
  const reason = `its hemisphere must be ${positive} or ${negative} and was ${hemisphere ?? 'not recorded'}`;
  return { sightings: [], refusals: [{ what: fact, raw: degrees.raw, source: degrees.source, reason }] };
}

function altitude({ number }: CaptureValues, carrier: Carrier): Reading {
  const height = number('GPSAltitude');
  // Absent counts as 0, above sea level: the standard's default.
  const reference = number('GPSAltitudeRef')?.value ?? 0;
  const signedHeight = height && {
    ...height,
    value: belowReference.has(reference) ? 0 - height.value : height.value,
  };
  const reading = firstPlausible('altitudeMetres', [signedHeight], carrier);
  return overEllipsoid.has(reference) ? annotated(reading, 'over the ellipsoid') : reading;
}

function heading({ number, directionReference }: CaptureValues, carrier: Carrier): Reading {
  const direction = number('GPSImgDirection');
  const fromNorth = direction && { ...direction, value: direction.value === 360 ? 0 : direction.value };
  const reading = firstPlausible('headingDegrees', [fromNorth], carrier);
  return annotated(reading, directionNames[directionReference ?? ''] ?? 'reference not recorded');
}

/** What is believed of a value's source, behind it; what was refused stays as it was recorded. */
function annotated({ sightings, refusals }: Reading, note: string): Reading {
  return { sightings: sightings.map((each) => ({ ...each, source: `${each.source} (${note})` })), refusals };
}

function timeFacts({ time }: CaptureValues, carrier: Carrier): Reading {
  if (!time?.parsed) return emptyReading;
  const { parsed, raw, source } = time;
  if ('reason' in parsed)
    return { sightings: [], refusals: [{ what: 'recordedAt', raw, source, reason: parsed.reason }] };
  return sightedAs('recordedAt', parsed.recordedAt, carrier, source);
}

function wordFacts({ number }: CaptureValues, carrier: Carrier): Reading {
  const worded = (
    fact: 'exposureProgram' | 'meteringMode' | 'whiteBalance',
    name: CaptureNumberName,
    words: Readonly<Record<number, string>>,
  ): FactSighting[] => {
    const recorded = number(name);
    const word = recorded && words[recorded.value];
    return word === undefined ? [] : [sighting(fact, word, carrier, recorded!.source)];
  };
  const { exposureProgram, exposureMode, meteringMode, whiteBalance } = exposureWords;
  return {
    sightings: [
      ...[
        ...worded('exposureProgram', 'ExposureProgram', exposureProgram),
        ...worded('exposureProgram', 'ExposureMode', exposureMode),
      ].slice(0, 1),
      ...worded('meteringMode', 'MeteringMode', meteringMode),
      ...worded('whiteBalance', 'WhiteBalance', whiteBalance),
    ],
    refusals: [],
  };
}

function cameraFacts({ make, model, cameraSource }: CaptureValues, carrier: Carrier): Reading {
  const camera = cameraName(make, model);
  return camera ? sightedAs('camera', camera, carrier, cameraSource) : emptyReading;
}

/** Maker and model as one text: many makers open the model with their own name. */
export function cameraName(make: string | undefined, model: string | undefined): string | undefined {
  const isNamed = make && model?.toLowerCase().startsWith(make.toLowerCase());
  return make && model && !isNamed ? `${make} ${model}` : (model ?? make);
}

// The standard's words for its numbers (CIPA DC-008, Exif 2.32; from memory, checked against a general-purpose reader).
export const exposureWords: Readonly<
  Record<
    'exposureProgram' | 'exposureMode' | 'meteringMode' | 'whiteBalance',
    Readonly<Record<number, string>>
  >
> = {
  exposureProgram: {
    1: 'manual',
    2: 'normal program',
    3: 'aperture priority',
    4: 'shutter priority',
    5: 'creative program',
    6: 'action program',
    7: 'portrait mode',
    8: 'landscape mode',
  },
  exposureMode: { 0: 'auto exposure', 1: 'manual exposure', 2: 'auto bracket' },
  meteringMode: {
    1: 'average',
    2: 'centre-weighted average',
    3: 'spot',
    4: 'multi-spot',
    5: 'pattern',
    6: 'partial',
    255: 'other',
  },
  whiteBalance: { 0: 'auto white balance', 1: 'manual white balance' },
};

// A camera names its firmware where a program names itself: a version and nothing else ("10.3.1", "V01.02.0300"), or one
// whose parts are padded with zeros behind whatever the camera is called ("X2D V01.02"). Programs have a name that is no
// version, and do not pad theirs.
const versionAlone = /^(?:firmware|fw|version|ver|v)?[ .:]*\d{1,4}(?:\.\d{1,6}){1,4}[a-z]?$/i;
const paddedVersion = /(?:^|[ _-])v?(?:0\d\.\d{2,4}|\d{1,2}\.0\d{1,3})(?:\.\d{2,6})*$/i;

/**
 * Whether the name of a program is only that of a camera's own software.
 * @example isFirmwareVersion('V01.02.0300') // true
 */
export function isFirmwareVersion(text: string): boolean {
  const name = text.trim();
  return name.length <= 80 && (versionAlone.test(name) || paddedVersion.test(name));
}
