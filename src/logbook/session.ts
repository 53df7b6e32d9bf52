import type { SceneConditions } from '../domain/learned.ts';
import { lightDirection, type LightDirection, type SunPositionOf } from '../domain/daylight.ts';
import type { MomentConditions } from './planning.ts';

/** What stays the same during a session. */
export type SessionConditions = Pick<SceneConditions, 'sky' | 'camera' | 'place'> & {
  readonly direction?: LightDirection;
  /** Where the camera looks; the sun moves past it. Stands before `direction`. */
  readonly headingDegrees?: number;
};

export interface Session {
  readonly startMs: number;
  readonly minutes: number;
  readonly stepMinutes: number;
  /** Of the clock of the session against UTC. */
  readonly offsetMinutes: number;
  readonly latitude: number;
  readonly longitude: number;
  readonly sunPosition: SunPositionOf;
}

/** The moments of a session, from its start to its end, each with the sun as it stands then. */
export function sessionMoments(session: Session, conditions: SessionConditions): readonly MomentConditions[] {
  const { startMs, minutes, stepMinutes, offsetMinutes, latitude, longitude, sunPosition } = session;
  const count = Math.floor(minutes / stepMinutes) + 1;
  return Array.from({ length: count }, (_, index): MomentConditions => {
    const atMs = startMs + index * stepMinutes * 60_000;
    const { elevationDegrees, azimuthDegrees } = sunPosition({ atMs, latitude, longitude });
    const { headingDegrees, direction, ...rest } = conditions;
    const faces =
      headingDegrees === undefined
        ? direction
        : lightDirection({ headingDegrees, sunAzimuthDegrees: azimuthDegrees });
    return {
      ...rest,
      atMs,
      clock: clockOf(atMs, offsetMinutes),
      elevationDegrees,
      azimuthDegrees,
      ...(elevationDegrees >= 0 && faces !== undefined && { direction: faces }),
    };
  });
}

/** Heights of the sun that a card shows where no time is planned; the light changes fastest where it is low. */
const cardDegrees = [-3, 0, 3, 6, 10, 15, 20, 30, 40, 50, 60, 70];

export function cardMoments({
  headingDegrees: _headingDegrees,
  ...conditions
}: SessionConditions): readonly MomentConditions[] {
  return cardDegrees.map((elevationDegrees) => ({ ...conditions, elevationDegrees }));
}

/**
 * Hours and minutes, counted from the end: a year beyond 9999 has two digits more.
 *
 * @example clockOf(Date.UTC(2026, 5, 1, 8, 30), 120) // '10:30'
 */
export function clockOf(atMs: number, offsetMinutes: number): string {
  return new Date(atMs + offsetMinutes * 60_000).toISOString().slice(-13, -8);
}
