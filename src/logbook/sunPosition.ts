import { Body, Equator, Horizon, Observer, SearchAltitude } from 'astronomy-engine';
import type { LoggedRecording } from '../document/loggedFlight.ts';
import { lightDirection, type LightDirection } from '../domain/daylight.ts';

/** Where the sun stands, seen from the ground. */
interface SunPosition {
  /** Degrees above the horizon, as seen through the air (refraction included); - = below. */
  readonly elevationDegrees: number;
  /** Degrees clockwise from north, [0, 360). */
  readonly azimuthDegrees: number;
}

/** A moment and a place: milliseconds since 1970 in UTC, degrees with + = north and + = east. */
interface MomentAndPlace {
  readonly atMs: number;
  readonly latitude: number;
  readonly longitude: number;
}

/**
 * Where the sun stands, by the library astronomy-engine, which meets the published example of NREL's Solar Position
 * Algorithm to 0.0002 degree but for refraction, which is that of ordinary air at sea level. Height above the sea changes nothing
 * that matters here.
 * @example sunPosition({ atMs: Date.UTC(2003, 9, 17, 19, 30, 30), latitude: 39.742476, longitude: -105.1786 }).azimuthDegrees // 194.34
 */
export function sunPosition({ atMs, latitude, longitude }: MomentAndPlace): SunPosition {
  const observer = new Observer(latitude, longitude, 0);
  const moment = new Date(atMs);
  const { ra, dec } = Equator(Body.Sun, moment, observer, true, true);
  const { altitude, azimuth } = Horizon(moment, observer, ra, dec, 'normal');
  return { elevationDegrees: altitude, azimuthDegrees: azimuth };
}

/** Almanacs let the sun rise and set when its centre is 50 arc minutes below the horizon (34 of refraction, 16 of radius). */
const riseDegrees = -5 / 6;

/**
 * When the sun next rises or sets after a moment.
 * @param where `elevationDegrees` where another height is meant, such as -6 for the end of civil twilight
 * @returns milliseconds since 1970 in UTC; undefined where it does not happen within a day
 */
export function nextSunCrossing(
  where: MomentAndPlace & { readonly direction: 'rise' | 'set'; readonly elevationDegrees?: number },
): number | undefined {
  const { atMs, latitude, longitude, direction, elevationDegrees = riseDegrees } = where;
  const observer = new Observer(latitude, longitude, 0);
  const sign = direction === 'rise' ? 1 : -1;
  return SearchAltitude(Body.Sun, observer, sign, new Date(atMs), 1, elevationDegrees)?.date.getTime();
}

/** Below the horizon the sun gives no direction. */
export function directionOf(
  recording: Pick<LoggedRecording, 'headingDegrees' | 'sunAzimuthDegrees' | 'sunElevationDegrees'>,
): LightDirection | undefined {
  const { headingDegrees, sunAzimuthDegrees, sunElevationDegrees } = recording;
  if (headingDegrees === undefined || sunAzimuthDegrees === undefined) return undefined;
  if (sunElevationDegrees === undefined || sunElevationDegrees < 0) return undefined;
  return lightDirection({ headingDegrees, sunAzimuthDegrees });
}
