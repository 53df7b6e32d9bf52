// What is known of GPS tags in the wild, before any code:
// - Without the letter N, S, E or W a coordinate is worthless: guessing it puts half of all flights on the wrong
//   hemisphere. Lower-case letters and words are not of the standard.
// - Coordinates come in one, two or three parts (degrees, minutes, seconds), each possibly with a fraction.
// - Receivers without a fix write 0, 0 or 0/0.
// - Altitudes are unsigned; GPSAltitudeRef carries the sign. Exif 3.0 adds 2 and 3 for heights over the ellipsoid
//   (from memory).
import type { Refusal } from '../domain/recording.ts';
import type { CaptureFacts, CaptureValues, RecordedCoordinate } from './captureValues.ts';
import { judgedNumber } from './recordedNumber.ts';
import { sighting, type Carrier, type FactSighting } from './sighting.ts';

const belowReference = new Set([1, 3]);
const overEllipsoid = new Set([2, 3]);
const directionNames: Readonly<Record<string, string>> = { T: 'true north', M: 'magnetic north' };

export function positionFacts(values: CaptureValues, carrier: Carrier): CaptureFacts {
  const sightings: FactSighting[] = [];
  const refusals: Refusal[] = [];
  const latitude = signed('latitude', values.latitude, { positive: 'N', negative: 'S' }, refusals);
  const longitude = signed('longitude', values.longitude, { positive: 'E', negative: 'W' }, refusals);
  if (latitude && longitude) {
    if (latitude.value === 0 && longitude.value === 0) {
      const reason = 'receivers without a fix write 0, 0';
      refusals.push({ what: 'latitude', raw: '0, 0', source: latitude.source, reason });
    } else {
      sightings.push(sighting('latitude', latitude.value, carrier, latitude.source));
      sightings.push(sighting('longitude', longitude.value, carrier, longitude.source));
    }
  }
  for (const part of [altitude(values, carrier), heading(values, carrier)]) {
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

function altitude(values: CaptureValues, carrier: Carrier): FactSighting | Refusal | undefined {
  const height = values.number('GPSAltitude');
  if (!height) return undefined;
  // Absent counts as 0, above sea level: the standard's default.
  const reference = values.number('GPSAltitudeRef')?.value ?? 0;
  const value = belowReference.has(reference) ? 0 - height.value : height.value;
  const judged = judgedNumber('altitudeMetres', { ...height, value });
  if (judged.value === undefined) return judged.refusal;
  const source = overEllipsoid.has(reference) ? `${height.source} (over the ellipsoid)` : height.source;
  return sighting('altitudeMetres', judged.value, carrier, source);
}

function heading(values: CaptureValues, carrier: Carrier): FactSighting | Refusal | undefined {
  const direction = values.number('GPSImgDirection');
  if (!direction) return undefined;
  const judged = judgedNumber('headingDegrees', direction);
  if (judged.value === undefined) return judged.refusal;
  const north = directionNames[values.directionReference ?? ''] ?? 'reference not recorded';
  return sighting('headingDegrees', judged.value % 360, carrier, `${direction.source} (${north})`);
}
