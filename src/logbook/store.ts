import Database from 'better-sqlite3';
import { mkdirSync, statSync } from 'node:fs';
import path from 'node:path';
import type {
  EntryResult,
  FlightSummary,
  LoggedFlight,
  LoggedObservation,
  LoggedRecordingWhole,
} from '../domain/logbook.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import { recordingColumns, rowOf, type Row } from './columns.ts';
import { readHabits, readPlaces, type Habits, type KnownPlace } from './habits.ts';
import { migrations, type Migration } from './migrations.ts';
import { readFlight, readSummaries } from './reading.ts';
import { readObservations } from './readObservations.ts';
import { storeFailure } from './storeFailure.ts';

/** Marks a logbook among SQLite files ("HfTn"). */
const applicationId = 0x4866546e;
/** How long one process waits for another; entering a flight takes a fraction of a second. */
const longestWaitMs = 15_000;

export interface Logbook {
  readonly file: string;
  /** Enters flights, all or none. A recording that is known already is brought up to date where it stands. */
  readonly enter: (flights: readonly LoggedFlight[]) => EntryResult;
  readonly flights: () => readonly FlightSummary[];
  readonly flight: (id: number) => LoggedFlight | undefined;
  /** Whether there was one. */
  readonly remove: (id: number) => boolean;
  /** The recordings that were entered last, with what learning looks at; all where no number is given. */
  readonly observations: (most?: number) => readonly LoggedObservation[];
  readonly habits: () => Habits;
  readonly places: () => readonly KnownPlace[];
  readonly close: () => void;
}

export interface OpenOptions {
  /** A logbook that is not there yet is made; else it is an error. */
  readonly create: boolean;
  readonly migrations?: readonly Migration[];
  readonly waitMs?: number;
}

/** Opens a logbook and brings its schema up to date. A file that is none, is newer or is damaged is left as it is. */
export function openLogbook(file: string, options: OpenOptions): Logbook {
  const guard = <T>(work: () => T): T => {
    try {
      return work();
    } catch (error) {
      throw error instanceof Database.SqliteError ? storeFailure(file, error) : error;
    }
  };
  const database = guard(() => opened(file, options));
  return {
    file,
    enter: (flights) => guard(() => entered(database, flights)),
    flights: () => guard(() => readSummaries(database)),
    flight: (id) => guard(() => readFlight(database, id)),
    remove: (id) => guard(() => database.prepare('DELETE FROM flights WHERE id = ?').run(id).changes === 1),
    observations: (most = Number.MAX_SAFE_INTEGER) => guard(() => readObservations(database, most)),
    habits: () => guard(() => readHabits(database)),
    places: () => guard(() => readPlaces(database)),
    close: () => guard(() => void database.close()),
  };
}

function opened(file: string, options: OpenOptions): Database.Database {
  const isThere = isThereAsFile(file);
  if (!isThere && !options.create)
    throw new HalfturnError(
      `There is no logbook at "${file}" yet.`,
      'Every audit enters its flight: run "halfturn audit" first, or name another one with --logbook.',
    );
  if (!isThere) makeFolderOf(file);
  const database = connected(file, options.waitMs ?? longestWaitMs);
  try {
    bringUpToDate(database, file, options.migrations ?? migrations);
    return database;
  } catch (error) {
    database.close();
    throw error;
  }
}

function connected(file: string, waitMs: number): Database.Database {
  try {
    return new Database(file, { timeout: waitMs });
  } catch (error) {
    if (error instanceof Database.SqliteError) throw error;
    // The package's compiled part is missing or is for another version of Node.
    throw new HalfturnError(
      `The logbook needs the compiled part of better-sqlite3, which does not work here: ${(error as Error).message.split('\n')[0]}.`,
      'Run "npm rebuild better-sqlite3" where Halfturn is installed, or audit with --no-logbook.',
    );
  }
}

function isThereAsFile(file: string): boolean {
  const found = statSync(file, { throwIfNoEntry: false });
  if (found !== undefined && !found.isFile())
    throw new HalfturnError(`"${file}" is no file.`, 'Name the logbook file with --logbook.');
  return found !== undefined;
}

function makeFolderOf(file: string): void {
  try {
    mkdirSync(path.dirname(file), { recursive: true });
  } catch (error) {
    throw new HalfturnError(
      `The folder of the logbook "${file}" could not be made: ${(error as Error).message}.`,
      'Name another one with --logbook.',
    );
  }
}

function bringUpToDate(database: Database.Database, file: string, steps: readonly Migration[]): void {
  if (database.pragma('user_version', { simple: true }) !== steps.length)
    database.transaction(() => migrate(database, file, steps)).immediate();
  refuseStranger(database, file);
  database.pragma('journal_mode = WAL');
  // Every committed flight outlives a loss of power too, not only a killed process.
  database.pragma('synchronous = FULL');
  database.pragma('foreign_keys = ON');
}

/** Inside a transaction that excludes other writers: two processes at a new file make it once. */
function migrate(database: Database.Database, file: string, steps: readonly Migration[]): void {
  const version = Number(database.pragma('user_version', { simple: true }));
  const tables = Number(database.prepare('SELECT count(*) FROM sqlite_schema').pluck().get());
  if (version > 0 || tables > 0) refuseStranger(database, file);
  if (version > steps.length)
    throw new HalfturnError(
      `The logbook "${file}" was written by a later version of Halfturn (schema ${version}; this one knows ${steps.length}).`,
      'Use that version, or name another file with --logbook. Nothing was changed.',
    );
  for (const step of steps.slice(version)) step(database);
  database.pragma(`application_id = ${applicationId}`);
  database.pragma(`user_version = ${steps.length}`);
}

function refuseStranger(database: Database.Database, file: string): void {
  if (database.pragma('application_id', { simple: true }) !== applicationId)
    throw new HalfturnError(
      `"${file}" is a database of another program, not a logbook.`,
      'Name another file with --logbook. Nothing was changed.',
    );
}

function entered(database: Database.Database, flights: readonly LoggedFlight[]): EntryResult {
  const write = writing(database);
  return database
    .transaction((): EntryResult => {
      const counts = flights.map((flight) => enterFlight(write, flight));
      const sum = (of: (one: { entered: number; known: number }) => number) =>
        counts.reduce((total, one) => total + of(one), 0);
      return { flights: flights.length, entered: sum((one) => one.entered), known: sum((one) => one.known) };
    })
    .immediate();
}

type Writing = ReturnType<typeof writing>;

function writing(database: Database.Database) {
  const columns = recordingColumns.join(', ');
  const given = recordingColumns.map((column) => `@${column}`).join(', ');
  // A later audit may know less (it was run without notes, or without measuring): what was known then stays.
  const updates = recordingColumns
    .filter((column) => column !== 'flightId' && column !== 'fingerprint')
    .map((column) => `${column} = coalesce(excluded.${column}, ${column})`);
  return {
    flightOf: database.prepare('SELECT flightId FROM recordings WHERE fingerprint = ?').pluck(),
    sameShot: database.prepare(
      `SELECT fingerprint, path, flightId, dump FROM recordings JOIN flights ON flights.id = flightId
       WHERE recordedAt = @recordedAt AND kind = @kind AND camera IS @camera`,
    ),
    contentOf: database.prepare('UPDATE recordings SET fingerprint = @now WHERE fingerprint = @before'),
    flight: database.prepare(
      `INSERT INTO flights (enteredAt, dump, startedAt, endedAt, place, latitude, longitude, sky)
       VALUES (@enteredAt, @dump, @startedAt, @endedAt, @place, @latitude, @longitude, @sky)`,
    ),
    span: database.prepare('SELECT startedAt, endedAt FROM flights WHERE id = ?'),
    flightAgain: database.prepare(
      `UPDATE flights SET place = coalesce(@place, place), latitude = coalesce(@latitude, latitude),
         longitude = coalesce(@longitude, longitude), sky = coalesce(@sky, sky),
         startedAt = coalesce(@startedAt, startedAt), endedAt = coalesce(@endedAt, endedAt)
       WHERE id = @id`,
    ),
    notes: database.prepare(
      'INSERT INTO notes (flightId, text) VALUES (?, ?) ON CONFLICT (flightId) DO UPDATE SET text = excluded.text',
    ),
    filter: database.prepare('INSERT OR IGNORE INTO filters (label, labelStops) VALUES (?, ?)'),
    filterId: database.prepare('SELECT id FROM filters WHERE label = ? AND labelStops = ?').pluck(),
    recording: database
      .prepare(
        `INSERT INTO recordings (${columns}) VALUES (${given})
         ON CONFLICT (fingerprint) DO UPDATE SET ${updates.join(', ')} RETURNING id`,
      )
      .pluck(),
    detail: database.prepare(
      `INSERT INTO details (recordingId, content) VALUES (?, ?)
       ON CONFLICT (recordingId) DO UPDATE SET content = excluded.content`,
    ),
  };
}

function enterFlight(write: Writing, flight: LoggedFlight): { entered: number; known: number } {
  completeCopies(write, flight);
  const homes = flight.recordings.map(
    ({ fingerprint }) => write.flightOf.get(fingerprint) as number | undefined,
  );
  const known = homes.filter((home) => home !== undefined);
  const flightId = mostFrequent(known);
  const id = flightId ?? Number(write.flight.run(flightRow(flight)).lastInsertRowid);
  if (flightId !== undefined)
    write.flightAgain.run({ ...flightRow(flight), ...wholeSpan(write, flight, id), id });
  if (flight.notes !== undefined) write.notes.run(id, flight.notes);
  for (const recording of flight.recordings) enterRecording(write, recording, id);
  const distinct = new Set(flight.recordings.map(({ fingerprint }) => fingerprint)).size;
  return { entered: distinct - new Set(knownPrints(flight, homes)).size, known: known.length };
}

interface Shot {
  readonly fingerprint: string;
  readonly path: string;
  readonly flightId: number;
  readonly dump: string;
}

/**
 * A file that was cut off while the card was copied is entered with the content that it had then. The whole file has
 * another fingerprint, but the name, time and camera of the same shot: it takes the place of the part. Only within one
 * dump or flight, for a camera whose clock is not set may say the same of different shots.
 */
function completeCopies(write: Writing, { recordings, dump }: LoggedFlight): void {
  const here = new Set(recordings.map(({ fingerprint }) => fingerprint));
  const homes = new Set([...here].map((fingerprint) => write.flightOf.get(fingerprint)));
  for (const { fingerprint, recordedAt, kind, camera = null, path: name } of recordings) {
    if (recordedAt === undefined || write.flightOf.get(fingerprint) !== undefined) continue;
    const shots = write.sameShot.all({ recordedAt, kind, camera }) as readonly Shot[];
    const part = shots.find(
      (one) =>
        !here.has(one.fingerprint) &&
        fileName(one.path) === fileName(name) &&
        (one.dump === dump || homes.has(one.flightId)),
    );
    if (part !== undefined) write.contentOf.run({ now: fingerprint, before: part.fingerprint });
  }
}

function fileName(recorded: string): string {
  return path.posix.basename(recorded);
}

/** Times are compared as moments, for they may stand in different zones. */
function wholeSpan(write: Writing, { startedAt, endedAt }: LoggedFlight, id: number) {
  const known = write.span.get(id) as { startedAt: string | null; endedAt: string | null };
  const sorted = (times: readonly (string | null | undefined)[]) =>
    times.filter((time) => typeof time === 'string').sort((a, b) => Date.parse(a) - Date.parse(b));
  return {
    startedAt: sorted([known.startedAt, startedAt])[0] ?? null,
    endedAt: sorted([known.endedAt, endedAt]).at(-1) ?? null,
  };
}

function knownPrints(
  { recordings }: LoggedFlight,
  homes: readonly (number | undefined)[],
): readonly string[] {
  return recordings.flatMap(({ fingerprint }, at) => (homes[at] === undefined ? [] : [fingerprint]));
}

function enterRecording(write: Writing, recording: LoggedRecordingWhole, flightId: number): void {
  const { fitted } = recording;
  if (fitted !== undefined) write.filter.run(fitted.label, fitted.labelStops);
  const filterId =
    fitted === undefined ? null : (write.filterId.get(fitted.label, fitted.labelStops) as number);
  const id = write.recording.get(rowOf(recording, flightId, filterId)) as number;
  write.detail.run(id, JSON.stringify(recording.detail));
}

function flightRow(flight: LoggedFlight): Row {
  const { enteredAt, dump, startedAt, endedAt, place, latitude, longitude, sky } = flight;
  return {
    enteredAt,
    dump,
    startedAt: startedAt ?? null,
    endedAt: endedAt ?? null,
    place: place ?? null,
    latitude: latitude ?? null,
    longitude: longitude ?? null,
    sky: sky ?? null,
  };
}

function mostFrequent(ids: readonly number[]): number | undefined {
  const counts = new Map<number, number>();
  for (const id of ids) counts.set(id, (counts.get(id) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1])[0]?.[0];
}
