/*
 * Light of sun and sky on level ground against the height of the sun. Two published clear-sky models agree within
 * 0.22 stop from 30 degrees up; lower down they part by up to 0.15 stop and the sky by far more. A single moment may
 * be off by a factor of ten (USNO Circular 171 says so of itself): these curves are where learning starts, no more.
 */

/** From the brightest to the darkest. */
export const skies = ['clear', 'haze', 'cloud', 'overcast'] as const;
export type Sky = (typeof skies)[number];

const radians = Math.PI / 180;

/** Night without moon or lamps, in lx, by the same polynomial's last line. */
const nightLux = 0.002;

/** From this height of the sun down, and l0 to l3 of the polynomial. */
const polynomial: readonly (readonly [fromDegrees: number, ...coefficients: readonly number[]])[] = [
  [20, 3.74, 3.97, -4.07, 1.47],
  [5, 3.05, 13.28, -45.98, 64.33],
  [-0.8, 2.88, 22.26, -207.64, 1034.3],
  [-5, 2.88, 21.81, -258.11, -858.36],
  [-12, 2.7, 12.17, -431.69, -1899.83],
  [-18, 13.84, 262.72, 1447.42, 2797.93],
];

/**
 * Illuminance of level ground under a clear sky, twilight included.
 * @param elevationDegrees height of the sun, [-90, 90]
 * @returns lx, > 0
 * Source: log10 E as a cubic of h/90 by pieces, Explanatory Supplement to the Astronomical Almanac (1992); attribution
 * from memory. Stated error of the fit 0.02 in log10. The night is a floor here, since the last piece ends below it.
 * @example clearSkyLux(-6) // 3.41
 */
export function clearSkyLux(elevationDegrees: number): number {
  const piece = polynomial.find(([from]) => elevationDegrees > from);
  if (piece === undefined) return nightLux;
  const x = elevationDegrees / 90;
  const [, l0 = 0, l1 = 0, l2 = 0, l3 = 0] = piece;
  return Math.max(nightLux, 10 ** (l0 + l1 * x + l2 * x ** 2 + l3 * x ** 3));
}

/** Illuminance outside the air and the thickness of a homogeneous atmosphere in its own units, of USNO Circular 171. */
const outsideLux = 133_775;
const earthRadii = 753.66156;

/**
 * Illuminance of level ground under a sky without cloud, and the part of it that is direct sun.
 * @param elevationDegrees height of the sun as seen, [-0.8, 90]
 * @returns lx
 * Source: Janiczek & DeYoung, US Naval Observatory Circular 171 (1987).
 * @example naval171Lux(90).groundLux // 123789.1
 */
export function naval171Lux(elevationDegrees: number): Light {
  const h = elevationDegrees * radians;
  const s = Math.asin((earthRadii * Math.cos(h)) / (earthRadii + 1));
  const airMass = earthRadii * (Math.cos(s) - Math.sin(h)) + Math.cos(s);
  const sun = Math.exp(-0.21 * airMass) * Math.sin(h);
  const sky = 0.0289 * Math.exp(-0.042 * airMass) * (1 + (elevationDegrees + 90) * radians * Math.sin(h));
  return { groundLux: outsideLux * (sun + sky), directLux: outsideLux * Math.max(0, sun) };
}

/** What falls on level ground, in lx: all of it, and what of that comes straight from the sun. */
export interface Light {
  readonly groundLux: number;
  readonly directLux: number;
}

/**
 * Illuminance of level ground under an overcast sky.
 * @param elevationDegrees height of the sun, [0, 90]
 * @returns lx
 * Source: DIN 5034-2; the CIE overcast sky gives the same line to a part in a thousand.
 * @example overcastLux(30) // 10800
 */
export function overcastLux(elevationDegrees: number): number {
  return 300 + 21_000 * Math.sin(elevationDegrees * radians);
}

/** Below this, the second clear model and the overcast line say nothing more. */
const lowestOfBothDegrees = 2;

/** USNO Circular 171: a thin veil halves the light, average cloud leaves a third. */
const veilDivisor = 2;
const cloudDivisor = 3;
/** Of the direct sun behind a thin veil, whose shadows are soft; common practice, no source. */
const throughVeil = 0.35;

/**
 * Daylight on level ground before anything was learned: the mean of both clear-sky models where both hold, less by what
 * the sky takes.
 * @example daylight({ elevationDegrees: 45, sky: 'clear' }).groundLux // 78924.3
 */
export function daylight(light: { readonly elevationDegrees: number; readonly sky: Sky }): Light {
  const { elevationDegrees, sky } = light;
  const clear = clearLight(elevationDegrees);
  if (sky === 'clear') return clear;
  const height = Math.max(elevationDegrees, lowestOfBothDegrees);
  const overcast = (clear.groundLux * overcastLux(height)) / clearLight(height).groundLux;
  if (sky === 'overcast') return { groundLux: overcast, directLux: 0 };
  // Near the horizon the divisors, which do not know the height of the sun, would go below the overcast line.
  const groundLux = Math.max(overcast, clear.groundLux / (sky === 'haze' ? veilDivisor : cloudDivisor));
  return { groundLux, directLux: sky === 'haze' ? clear.directLux * throughVeil : 0 };
}

function clearLight(elevationDegrees: number): Light {
  const first = clearSkyLux(elevationDegrees);
  const { groundLux: second, directLux } = naval171Lux(Math.max(elevationDegrees, -0.8));
  const groundLux = elevationDegrees < lowestOfBothDegrees ? first : Math.sqrt(first * second);
  return { groundLux, directLux: (groundLux * directLux) / second };
}

/**
 * The brightest light of night and of rooms, as EV at ISO 100: a brightly lit street 8, offices 7 to 8, home interiors 5 to
 * 7; heavy overcast begins at 12. Source: ANSI PH2.7 exposure guides (1973, 1986), as general encyclopedias merge them in
 * the article "Exposure value", table 2.
 */
const lowLightEv100 = 8;

/**
 * Whether light is that of night or of a room.
 * @example isLowLight(6) // true
 */
export function isLowLight(sceneEv100: number): boolean {
  return sceneEv100 <= lowLightEv100;
}

/** Where the camera looks against the sun: away from it (front light), across (side light), toward it (back light). */
export type LightDirection = 'away' | 'across' | 'toward';

/**
 * Where a camera looks against the sun, in the plane. A third of the circle each way: within 60 degrees of the sun is
 * toward it, within 60 of its back is away.
 * @param headings degrees clockwise from north
 * @example lightDirection({ headingDegrees: 350, sunAzimuthDegrees: 20 }) // 'toward'
 */
export function lightDirection(headings: {
  readonly headingDegrees: number;
  readonly sunAzimuthDegrees: number;
}): LightDirection {
  const turned = Math.abs(headings.headingDegrees - headings.sunAzimuthDegrees) % 360;
  const apart = Math.min(turned, 360 - turned);
  if (apart <= 60) return 'toward';
  return apart < 120 ? 'across' : 'away';
}
