import { displayText } from '../domain/displayText.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import { momentOf, type Moment } from '../domain/localTime.ts';
import type { MomentConditions } from '../logbook/planning.ts';
import type { KnownPlace } from '../logbook/queries.ts';
import { cardMoments, clockOf, sessionMoments, type SessionConditions } from '../logbook/session.ts';
import type { Logbook } from '../logbook/store.ts';
import { nextSunCrossing, sunPosition } from '../logbook/sunPosition.ts';
import { computerZoneOffsetAt } from '../reading/timeZone.ts';
import { numberFlag, positionFlags } from './flags.ts';

export interface SessionFlags {
  readonly at?: string;
  readonly for: string;
  readonly place?: string;
  readonly latitude?: string;
  readonly longitude?: string;
}

interface Position {
  readonly latitude: number;
  readonly longitude: number;
}

/** Where and when somebody is going to fly. */
export interface PlannedSession extends Position {
  readonly start: Moment;
  readonly minutes: number;
}

/** A swap that comes ten minutes early or late costs little. */
const stepMinutes = 10;

/** The place by its name in the logbook, and where it lies; no position where none was asked for. */
export function placeOf(
  flags: SessionFlags,
  logbook: Logbook | undefined,
): { readonly place: string | undefined; readonly position: Position | undefined } {
  const known = knownPlace(flags.place, logbook);
  const position = positionFlags(flags) ?? known ?? refusePlace(flags.place, logbook);
  return { place: known?.place ?? flags.place, position };
}

function knownPlace(place: string | undefined, logbook: Logbook | undefined): KnownPlace | undefined {
  return logbook?.places().find((one) => one.place.toLowerCase() === place?.toLowerCase());
}

/** A place whose position nobody knows cannot be planned for; without any place there is a card by the sun's height. */
function refusePlace(place: string | undefined, logbook: Logbook | undefined): undefined {
  if (place === undefined) return undefined;
  const names = (logbook?.places() ?? []).map((one) => displayText(one.place)).join(', ');
  throw new HalfturnError(
    `The logbook does not know where "${displayText(place)}" is.`,
    `Add --latitude and --longitude${names === '' ? '' : `, or use a place that it knows: ${names}`}.`,
  );
}

/** Undefined without a position: then there is a card by the height of the sun. */
export function sessionOf(flags: SessionFlags, position: Position | undefined): PlannedSession | undefined {
  if (position === undefined && flags.at !== undefined)
    throw new HalfturnError(
      '--at needs a place: where the sun stands then depends on it.',
      'Add --place, or --latitude and --longitude.',
    );
  const minutes = numberFlag('--for', flags.for, { least: 0, most: 1440 });
  if (position === undefined) return undefined;
  const { latitude, longitude } = position;
  return { latitude, longitude, start: startOf(flags.at, longitude), minutes };
}

function startOf(at: string | undefined, longitude: number): Moment {
  if (at === undefined) {
    const atMs = Date.now();
    return { atMs, offsetMinutes: computerZoneOffsetAt(atMs), basis: 'recorded' };
  }
  const start = momentOf({ recordedAt: at, longitude, zoneOffsetAt: computerZoneOffsetAt });
  if (start !== undefined) return start;
  throw new HalfturnError(
    `--at must be a date and time such as 2026-06-01T10:30, but is "${displayText(at)}".`,
    'An offset may follow: 2026-06-01T10:30+02:00.',
  );
}

export function momentsOf(
  session: PlannedSession | undefined,
  conditions: SessionConditions,
): readonly MomentConditions[] {
  if (session === undefined) return cardMoments(conditions);
  const { start, ...where } = session;
  const { atMs: startMs, offsetMinutes } = start;
  return sessionMoments({ ...where, startMs, offsetMinutes, stepMinutes, sunPosition }, conditions);
}

/** By the clock of the session; undefined where the sun does not set within a day. */
export function sunsetClock({ latitude, longitude, start }: PlannedSession): string | undefined {
  const { atMs, offsetMinutes } = start;
  const setMs = nextSunCrossing({ atMs, latitude, longitude, direction: 'set' });
  return setMs === undefined ? undefined : clockOf(setMs, offsetMinutes);
}
