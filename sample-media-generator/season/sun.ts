/*
 * Where the sun stands, by the low-precision formulas of the Astronomical Almanac, as the US Naval Observatory prints
 * them under "Computing approximate solar coordinates" and "approximate sidereal time" (from memory; stated error one
 * minute of arc). Refraction is left out: half a degree at the horizon, where this season does not fly.
 */

const radians = Math.PI / 180;
const sine = (degrees: number) => Math.sin(degrees * radians);
const cosine = (degrees: number) => Math.cos(degrees * radians);

/** Days from the epoch J2000.0, which is JD 2451545.0 or 2000-01-01 12:00 UTC. */
function daysOf(atMs: number): number {
  return (atMs - Date.UTC(2000, 0, 1, 12)) / 86_400_000;
}

/** Degrees above the horizon, and clockwise from north. */
export function sunOver(where: {
  readonly atMs: number;
  readonly latitude: number;
  readonly longitude: number;
}): { readonly elevationDegrees: number; readonly azimuthDegrees: number } {
  const days = daysOf(where.atMs);
  const anomaly = 357.529 + 0.98560028 * days;
  const longitude = 280.459 + 0.98564736 * days + 1.915 * sine(anomaly) + 0.02 * sine(2 * anomaly);
  const tilt = 23.439 - 0.00000036 * days;
  const ascension = Math.atan2(cosine(tilt) * sine(longitude), cosine(longitude)) / radians;
  const declination = Math.asin(sine(tilt) * sine(longitude)) / radians;
  const siderealDegrees = 15 * (18.697374558 + 24.06570982441908 * days);
  const hourAngle = siderealDegrees + where.longitude - ascension;
  const up =
    sine(where.latitude) * sine(declination) +
    cosine(where.latitude) * cosine(declination) * cosine(hourAngle);
  const east = -cosine(declination) * sine(hourAngle);
  const north =
    cosine(where.latitude) * sine(declination) -
    sine(where.latitude) * cosine(declination) * cosine(hourAngle);
  return {
    elevationDegrees: Math.asin(up) / radians,
    azimuthDegrees: (Math.atan2(east, north) / radians + 360) % 360,
  };
}
