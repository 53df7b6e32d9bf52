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
