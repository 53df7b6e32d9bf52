// What is known of GPS tags in the wild, before any code:
// - Without the letter N, S, E or W a coordinate is worthless: guessing it puts half of all flights on the wrong
//   hemisphere. Lower-case letters and words are not of the standard.
// - Coordinates come in one, two or three parts (degrees, minutes, seconds), each possibly with a fraction.
// - Receivers without a fix write 0, 0 or 0/0.
// - Altitudes are unsigned; GPSAltitudeRef carries the sign. Exif 3.0 adds 2 and 3 for heights over the ellipsoid
//   (from memory).
import type { Refusal } from '../domain/recording.ts';
import { judgedNumber, type RecordedNumber } from './recordedNumber.ts';
import { sighting, type Carrier, type FactSighting, type Reading } from './sighting.ts';

const belowReference = new Set([1, 3]);
const overEllipsoid = new Set([2, 3]);
const directionNames: Readonly<Record<string, string>> = { T: 'true north', M: 'magnetic north' };

/** A coordinate before its sign: degrees and the letter that was recorded with them. */
export interface RecordedCoordinate {
  readonly degrees: RecordedNumber;
  readonly hemisphere: string | undefined;
}

/** What a still recorded of its place, in Exif's terms, which XMP shares. */
export interface RecordedPosition {
  readonly number: (name: 'GPSAltitude' | 'GPSAltitudeRef' | 'GPSImgDirection') => RecordedNumber | undefined;
  readonly latitude: RecordedCoordinate | undefined;
  readonly longitude: RecordedCoordinate | undefined;
  /** `T` true north, `M` magnetic north. */
  readonly directionReference: string | undefined;
}

/** Turns a recorded position into facts. */
export function positionFacts(position: RecordedPosition, carrier: Carrier): Reading {
  const sightings: FactSighting[] = [];
  const refusals: Refusal[] = [];
  const latitude = signed('latitude', position.latitude, { positive: 'N', negative: 'S' }, refusals);
  const longitude = signed('longitude', position.longitude, { positive: 'E', negative: 'W' }, refusals);
  if (latitude && longitude) {
    if (latitude.value === 0 && longitude.value === 0) {
      const reason = 'receivers without a fix write 0, 0';
      refusals.push({ what: 'latitude', raw: '0, 0', source: latitude.source, reason });
    } else {
      sightings.push(sighting('latitude', latitude.value, carrier, latitude.source));
      sightings.push(sighting('longitude', longitude.value, carrier, longitude.source));
    }
  }
  for (const part of [altitude(position, carrier), heading(position, carrier)]) {
    if (part && 'fact' in part) sightings.push(part);
    else if (part) refusals.push(part);
  }
  return { sightings, refusals };
}

function signed(
  fact: 'latitude' | 'longitude',
  coordinate: RecordedCoordinate | undefined,
  letters: { readonly positive: string; readonly negative: string },
  refusals: Refusal[],
): { readonly value: number; readonly source: string } | undefined {
  if (!coordinate || Number.isNaN(coordinate.degrees.value)) return undefined;
  const { degrees, hemisphere } = coordinate;
  if (hemisphere !== letters.positive && hemisphere !== letters.negative) {
    const reason = `its hemisphere must be ${letters.positive} or ${letters.negative} and was ${hemisphere ?? 'not recorded'}`;
    refusals.push({ what: fact, raw: degrees.raw, source: degrees.source, reason });
    return undefined;
  }
  const value = hemisphere === letters.negative ? 0 - degrees.value : degrees.value;
  const judged = judgedNumber(fact, { ...degrees, value });
  if (judged.refusal) refusals.push(judged.refusal);
  return judged.value === undefined ? undefined : { value: judged.value, source: degrees.source };
}

function altitude({ number }: RecordedPosition, carrier: Carrier): FactSighting | Refusal | undefined {
  const height = number('GPSAltitude');
  if (!height) return undefined;
  // Absent counts as 0, above sea level: the standard's default.
  const reference = number('GPSAltitudeRef')?.value ?? 0;
  const value = belowReference.has(reference) ? 0 - height.value : height.value;
  const judged = judgedNumber('altitudeMetres', { ...height, value });
  if (judged.value === undefined) return judged.refusal;
  const source = overEllipsoid.has(reference) ? `${height.source} (over the ellipsoid)` : height.source;
  return sighting('altitudeMetres', judged.value, carrier, source);
}

function heading(
  { number, directionReference }: RecordedPosition,
  carrier: Carrier,
): FactSighting | Refusal | undefined {
  const direction = number('GPSImgDirection');
  if (!direction) return undefined;
  const judged = judgedNumber('headingDegrees', direction);
  if (judged.value === undefined) return judged.refusal;
  const north = directionNames[directionReference ?? ''] ?? 'reference not recorded';
  return sighting('headingDegrees', judged.value % 360, carrier, `${direction.source} (${north})`);
}

/** A point in decimal degrees, + = north and east; metres above sea level. */
interface Point {
  readonly latitude: number;
  readonly longitude: number;
  readonly altitudeMetres?: number;
}

const iso6709 =
  /^([+-])(\d{1,6})(\.\d{1,12})?([+-])(\d{1,7})(\.\d{1,12})?(?:([+-]\d{1,6}(?:\.\d{1,12})?)(?:CRS[\w:]*)?)?\/?$/;

/**
 * Reads a point in the text form of ISO 6709 annex H: degrees, degrees and minutes, or degrees, minutes and seconds,
 * told apart by how many digits stand before the point. The standard has two digits of whole degrees of latitude and three
 * of longitude; writers that leave out leading zeros are understood where only one reading is possible.
 * @example parseIso6709('+4730.60-12212.00+123.4/') // { latitude: 47.51, longitude: -122.2, altitudeMetres: 123.4 }
 */
export function parseIso6709(text: string): Point | undefined {
  const match = iso6709.exec(text.trim());
  if (match === null) return undefined;
  const [, , latitudeDigits = '', latitudeFraction, , longitudeDigits = '', longitudeFraction] = match;
  const latitude = degrees(match[1], latitudeDigits, latitudeFraction, latitudeDigits.length === 1 ? 1 : 2);
  const longitude = degrees(
    match[4],
    longitudeDigits,
    longitudeFraction,
    longitudeDegreeDigits(longitudeDigits, latitudeDigits),
  );
  if (latitude === undefined || longitude === undefined) return undefined;
  if (Math.abs(latitude) > 90 || Math.abs(longitude) > 180) return undefined;
  return {
    latitude,
    longitude,
    altitudeMetres: match[7] === undefined ? undefined : Number(match[7]),
  };
}

/**
 * An odd number of digits is as the standard has it, and a single one can only be degrees. An even number lacks a zero
 * in front: minutes and seconds are then as many digits as in the latitude, or nobody knows where the degrees end.
 */
function longitudeDegreeDigits(digits: string, latitudeDigits: string): number {
  if (digits.length === 1) return 1;
  return digits.length % 2 === 1 ? 3 : digits.length - Math.max(0, latitudeDigits.length - 2);
}

function degrees(
  sign: string | undefined,
  digits = '',
  fraction = '',
  degreeDigits: number,
): number | undefined {
  if (degreeDigits < 1 || degreeDigits > 3) return undefined;
  const parts = [digits.slice(0, degreeDigits), ...(digits.slice(degreeDigits).match(/\d{1,2}/g) ?? [])];
  if ((digits.length - degreeDigits) % 2 !== 0) return undefined;
  // The fraction belongs to the last part that stands.
  const numbers = parts.map((part, at) => Number(at === parts.length - 1 ? part + fraction : part));
  const [wholeDegrees = 0, minutes = 0, seconds = 0] = numbers;
  if (minutes >= 60 || seconds >= 60) return undefined;
  const size = wholeDegrees + minutes / 60 + seconds / 3600;
  return sign === '-' ? -size : size;
}
