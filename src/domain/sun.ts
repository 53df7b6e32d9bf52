/** Where the sun stands, seen from the ground. */
export interface SunPosition {
  /** Degrees above the horizon, as seen through the air (refraction included); - = below. */
  readonly elevationDegrees: number;
  /** Degrees clockwise from north, [0, 360). */
  readonly azimuthDegrees: number;
}

/** A moment and a place: milliseconds since 1970 in UTC, degrees with + = north and + = east. */
export interface MomentAndPlace {
  readonly atMs: number;
  readonly latitude: number;
  readonly longitude: number;
}

/** Where the camera looks against the sun: away from it (front light), across (side light), toward it (back light). */
export type LightDirection = 'away' | 'across' | 'toward';

/**
 * Where a camera looks against the sun, in the plane. A third of the circle each way: within 60 degrees of the sun is
 * toward it, within 60 of its back is away.
 *
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
