import {
  loggedRecordingSchema,
  type FlightSummary,
  type LoggedFlight,
  type LoggedRecording,
} from '../document/loggedFlight.ts';
import type { Connection } from './connection.ts';

/** Fields that a column holds under their own names, as they are; the others are stored in another way. */
const { inWindow: _, fitted: __, detail: ___, ...plainFields } = loggedRecordingSchema.shape;
const plainColumns = Object.keys(plainFields) as readonly (keyof typeof plainFields)[];

const fieldColumns = [...plainColumns, 'inWindow'] as const;
/** All columns but the identity of the row. */
export const recordingColumns = [...fieldColumns, 'flightId', 'filterId'] as const;

export type Row = Readonly<Record<string, string | number | null>>;

export function rowOf(recording: LoggedRecording, flightId: number, filterId: number | null): Row {
  const plain = Object.fromEntries(plainColumns.map((column) => [column, recording[column] ?? null]));
  const inWindow = recording.inWindow === undefined ? null : Number(recording.inWindow);
  return { ...plain, inWindow, flightId, filterId };
}

function recordingOf(row: Row): LoggedRecording {
  const { inWindow, label, labelStops, content } = row;
  return {
    ...withoutNulls(Object.fromEntries(plainColumns.map((column) => [column, row[column] ?? null]))),
    ...(inWindow !== null && { inWindow: inWindow === 1 }),
    ...(label !== null && { fitted: { label, labelStops } }),
    detail: detailOf(content),
  } as LoggedRecording;
}

/** Nothing that is learned rests on it, so a damaged one costs no flight. */
function detailOf(content: string | number | null | undefined): unknown {
  try {
    return JSON.parse(String(content ?? '{}'));
  } catch {
    return {};
  }
}

function withoutNulls(row: Row): Record<string, string | number> {
  return Object.fromEntries(Object.entries(row).filter(([, value]) => value !== null)) as Record<
    string,
    string | number
  >;
}

/** All flights, the oldest first; those without a time stand where they were entered. */
export function readSummaries(database: Connection): readonly FlightSummary[] {
  const rows = database
    .prepare(
      `SELECT flights.id, enteredAt, dump, startedAt, endedAt, place, sky,
         count(*) FILTER (WHERE kind = 'clip') AS clips, count(*) FILTER (WHERE kind = 'still') AS stills,
         json_group_array(DISTINCT label) FILTER (WHERE label IS NOT NULL) AS filters,
         count(*) FILTER (WHERE timeBasis = 'longitude-zone') AS guessed
       FROM flights LEFT JOIN recordings ON recordings.flightId = flights.id
       LEFT JOIN filters ON filters.id = recordings.filterId
       GROUP BY flights.id ORDER BY coalesce(startedAt, enteredAt), flights.id`,
    )
    .all() as Row[];
  return rows.map((row) => {
    const { filters, guessed, ...fields } = row;
    return {
      ...withoutNulls(fields),
      filters: JSON.parse(String(filters)) as string[],
      isClockGuessed: Number(guessed) > 0,
    };
  }) as unknown as FlightSummary[];
}

/** The name of a recording's file without its folders, in SQL. */
export const fileName = "replace(path, rtrim(path, replace(path, '/', '')), '')";

export function readFlight(database: Connection, id: number): LoggedFlight | undefined {
  const flight = database
    .prepare(
      `SELECT enteredAt, dump, startedAt, endedAt, place, latitude, longitude, sky, notes.text AS notes
       FROM flights LEFT JOIN notes ON notes.flightId = flights.id WHERE flights.id = ?`,
    )
    .get(id) as Row | undefined;
  if (flight === undefined) return undefined;
  const columns = fieldColumns.map((column) => `recordings.${column}`);
  const rows = database
    .prepare(
      `SELECT ${columns.join(', ')}, label, labelStops, details.content
       FROM recordings LEFT JOIN filters ON filters.id = recordings.filterId
       LEFT JOIN details ON details.recordingId = recordings.id
       WHERE flightId = ? ORDER BY recordings.id`,
    )
    .all(id) as Row[];
  return { ...withoutNulls(flight), recordings: rows.map(recordingOf) } as unknown as LoggedFlight;
}

/** What learning looks at of a recording, as its columns hold it. */
const observedColumns = [
  'camera',
  'sensorEv100',
  'shutterVerdict',
  'neededStops',
  'pickLabel',
  'headingDegrees',
  'cameraPitchDegrees',
  'sunElevationDegrees',
  'sunAzimuthDegrees',
] as const satisfies readonly (keyof LoggedRecording)[];

/** The same, with what is known of the filter and the flight. */
export interface LoggedObservation
  extends
    Pick<LoggedRecording, (typeof observedColumns)[number] | 'inWindow' | 'fitted'>,
    Pick<LoggedFlight, 'place' | 'sky' | 'startedAt'> {
  readonly flightId: number;
}

type Cell = string | number | null;

/**
 * The recordings that were entered last, in the order in which they were entered, with only what learning looks at:
 * hundreds of thousands of them are read while a person looks.
 */
export function readObservations(database: Connection, most: number): readonly LoggedObservation[] {
  const rows = (statement: string, ...values: readonly unknown[]) =>
    database
      .prepare(statement)
      .raw()
      .iterate(...values) as Iterable<readonly Cell[]>;
  const filters = new Map<Cell, LoggedObservation['fitted']>();
  for (const [id, label, labelStops] of rows('SELECT id, label, labelStops FROM filters'))
    filters.set(id!, { label: String(label), labelStops: Number(labelStops) });
  const flights = new Map<Cell, Row>();
  for (const [id, place, sky, startedAt] of rows('SELECT id, place, sky, startedAt FROM flights'))
    flights.set(id!, { place: place!, sky: sky!, startedAt: startedAt! });
  const observations: LoggedObservation[] = [];
  const newestFirst = rows(
    `SELECT flightId, filterId, inWindow, ${observedColumns.join(', ')} FROM recordings ORDER BY id DESC LIMIT ?`,
    most,
  );
  for (const row of newestFirst)
    observations.push(observationOf(row, flights.get(row[0]!)!, filters.get(row[1]!)));
  return observations.reverse();
}

/** Every object gets the same fields in the same order, which makes reading them thirty times faster than by name. */
function observationOf(row: readonly Cell[], flight: Row, fitted: LoggedObservation['fitted']) {
  return {
    flightId: row[0],
    place: flight['place'] ?? undefined,
    sky: flight['sky'] ?? undefined,
    startedAt: flight['startedAt'] ?? undefined,
    fitted,
    inWindow: row[2] === null ? undefined : row[2] === 1,
    camera: row[3] ?? undefined,
    sensorEv100: row[4] ?? undefined,
    shutterVerdict: row[5] ?? undefined,
    neededStops: within(row[6], mostStops),
    pickLabel: row[7] ?? undefined,
    headingDegrees: row[8] ?? undefined,
    cameraPitchDegrees: row[9] ?? undefined,
    sunElevationDegrees: within(row[10], 90),
    sunAzimuthDegrees: row[11] ?? undefined,
  } as LoggedObservation;
}

/** No filter and no light is so many stops from another. */
const mostStops = 40;

/** A number that can be; an earlier version let others in, which nothing may rest on. */
function within(cell: Cell | undefined, most: number): number | undefined {
  return typeof cell === 'number' && Math.abs(cell) <= most ? cell : undefined;
}

/** Of the recordings that were entered last: what was flown years ago is no habit. */
const latest = 2000;

/** What a pilot mostly flies with, frame rates by how often; absent where nothing was recorded. */
export function readHabits(database: Connection) {
  const frequent = <T>(column: string, where: string) =>
    database
      .prepare(
        `SELECT ${column} FROM (SELECT * FROM recordings ORDER BY id DESC LIMIT ${latest})
         WHERE ${column} IS NOT NULL AND ${where} GROUP BY ${column} ORDER BY count(*) DESC, ${column}`,
      )
      .pluck()
      .all() as T[];
  const [camera] = frequent<string>('camera', 'true');
  const [fNumber] = frequent<number>('fNumber', "kind = 'clip'");
  const [pitchDegrees] = frequent<number>('round(cameraPitchDegrees / 10) * 10', "kind = 'clip'");
  return {
    camera,
    fNumber,
    pitchDegrees,
    framesPerSecond: frequent<number>('framesPerSecond', "kind = 'clip'"),
  };
}

/** A position that can be. */
const isOnEarth = 'latitude BETWEEN -90 AND 90 AND longitude BETWEEN -180 AND 180';

/** Where was flown last, named or not; absent where no flight knows its position. */
export function readLastPlace(database: Connection) {
  const row = database
    .prepare(
      `SELECT place, latitude, longitude FROM flights WHERE ${isOnEarth}
       ORDER BY coalesce(startedAt, enteredAt) DESC, id DESC LIMIT 1`,
    )
    .get() as { place: string | null; latitude: number; longitude: number } | undefined;
  return row && { ...row, place: row.place ?? undefined };
}

/** Where each named place lies, by the last flight there that knew its position. */
export function readPlaces(database: Connection) {
  return database
    .prepare(
      `SELECT place, latitude, longitude FROM flights
       WHERE id IN (SELECT max(id) FROM flights WHERE place IS NOT NULL AND ${isOnEarth} GROUP BY place)
       ORDER BY place`,
    )
    .all() as { readonly place: string; readonly latitude: number; readonly longitude: number }[];
}
