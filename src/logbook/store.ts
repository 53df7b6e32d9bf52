import { chmodSync, closeSync, mkdirSync, openSync, readSync, statSync } from 'node:fs';
import path from 'node:path';
import type { LoggedFlight } from '../document/loggedFlight.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import {
  connected,
  connectedForReading,
  disconnect,
  guarded,
  isUnwritable,
  noLogbook,
  type Connection,
} from './connection.ts';
import { correctFilters, type Correction } from './correctFilters.ts';
import { enterFlights, restoreFlights } from './enterFlights.ts';
import {
  fileName,
  readFlight,
  readHabits,
  readLastPlace,
  readObservations,
  readPlaces,
  readSummaries,
} from './queries.ts';
import { changeOf, undoLastChange } from './lastChange.ts';

/** Marks a logbook among SQLite files ("HfTn"). */
const applicationId = 0x4866546e;
/** How long one process waits for another; entering a flight takes a fraction of a second. */
const longestWaitMs = 15_000;

export type Logbook = ReturnType<typeof openLogbook>;

interface OpenOptions {
  /** A logbook that is not there yet is made; else it is an error. */
  readonly create: boolean;
  /** Its folder holds nothing else, and is kept from others as well. */
  readonly isOwnFolder?: boolean;
  readonly migrations?: readonly Migration[];
  readonly waitMs?: number;
}

/** Opens a logbook and brings its schema up to date. A file that is none, is newer or is damaged is left as it is. */
export function openLogbook(file: string, options: OpenOptions) {
  const guard = <T>(work: () => T): T => guarded(file, work);
  const { database, discard } = guard(() => opened(file, options));
  return {
    /** Enters flights, all or none. A recording that is known already is brought up to date where it stands. */
    enter: (flights: readonly LoggedFlight[], options: Parameters<typeof enterFlights>[2] = {}) =>
      guard(() => database.transaction(() => enterFlights(database, flights, options)).immediate()),
    flights: () => guard(() => readSummaries(database)),
    /** Of all flights, by which each is read for itself where one is damaged. */
    flightNumbers: () =>
      guard(() => database.prepare('SELECT id FROM flights ORDER BY id').pluck().all() as number[]),
    flight: (id: number) => guard(() => readFlight(database, id)),
    /** Whether there was one. */
    remove: (id: number): boolean =>
      guard(() => database.transaction(() => removeFlight(database, id)).immediate()),
    /** Says what was fitted for files of a flight; how many recordings that changed. */
    correct: (id: number, correction: Correction): number =>
      guard(() => database.transaction(() => correctFilters(database, id, correction)).immediate()),
    /** Takes the last change back, and says what it was; undefined where there is none. */
    undo: () => guard(() => database.transaction(() => undoLastChange(database, restoreFlights)).immediate()),
    /** The recordings that were entered last, with what learning looks at; all where no number is given. */
    observations: (most = Number.MAX_SAFE_INTEGER) => guard(() => readObservations(database, most)),
    habits: () => guard(() => readHabits(database)),
    lastPlace: () => guard(() => readLastPlace(database)),
    places: () => guard(() => readPlaces(database)),
    close: () => guard(() => (disconnect(database), discard())),
  };
}

function removeFlight(database: Connection, id: number): boolean {
  const change = changeOf(database);
  change.before(id);
  const isGone = database.prepare('DELETE FROM flights WHERE id = ?').run(id).changes === 1;
  if (isGone) change.keep(`removing flight ${id}`);
  return isGone;
}

function opened(file: string, options: OpenOptions) {
  const isThere = isThereAsFile(file);
  if (!isThere && !options.create)
    throw new HalfturnError(
      `There is no logbook at "${file}" yet.`,
      'Every audit enters its flight: run "halfturn audit" first, or name another one with --logbook.',
    );
  if (isThere) refuseOtherContent(file);
  else makeFolderOf(file);
  keepPrivate(file, options.isOwnFolder === true);
  try {
    return { database: writable(file, options), discard: () => {} };
  } catch (error) {
    if (options.create || !isUnwritable(error)) throw error;
    return readable(file, options, error);
  }
}

function writable(file: string, { waitMs = longestWaitMs, migrations: steps = migrations }: OpenOptions) {
  const database = connected(file, waitMs);
  try {
    bringUpToDate(database, file, steps);
    return database;
  } catch (error) {
    database.close();
    throw error;
  }
}

/** What is only to be read can be, from a disk that takes nothing too; but not brought up to date there. */
function readable(file: string, { migrations: steps = migrations }: OpenOptions, otherwise: unknown) {
  const reading = connectedForReading(file);
  try {
    refuseStranger(reading.database, file);
    if (reading.database.pragma('user_version', { simple: true }) !== steps.length) throw otherwise;
    return reading;
  } catch (error) {
    reading.database.close();
    reading.discard();
    throw error;
  }
}

/** Places and times of flights are nobody else's: the file, its journal and the folder that is the logbook's own. */
function keepPrivate(file: string, isOwnFolder: boolean): void {
  // SQLite gives its journal the rights of the file.
  closeSync(
    openSync(path.resolve(file), statSync(path.resolve(file), { throwIfNoEntry: false }) ? 'r' : 'a', 0o600),
  );
  const entries = [
    [file, 0o600],
    [`${file}-wal`, 0o600],
    [`${file}-shm`, 0o600],
    ...(isOwnFolder ? [[path.dirname(path.resolve(file)), 0o700] as const] : []),
  ] as const;
  for (const [entry, mode] of entries)
    try {
      if (((statSync(entry, { throwIfNoEntry: false })?.mode ?? 0) & 0o077) !== 0) chmodSync(entry, mode);
    } catch {
      // Another user's, or a disk that takes nothing: what cannot be changed stays as it is.
    }
}

function isThereAsFile(file: string): boolean {
  const entry = statSync(path.resolve(file), { throwIfNoEntry: false });
  if (entry !== undefined && !entry.isFile())
    throw new HalfturnError(`"${file}" is no file.`, 'Name the logbook file with --logbook.');
  return entry !== undefined;
}

const databaseHeader = 'SQLite format 3\0';

/** SQLite takes a file that is too short to be a database for an empty one, and writes over it. */
function refuseOtherContent(file: string): void {
  const start = Buffer.alloc(databaseHeader.length);
  const handle = openSync(path.resolve(file), 'r');
  const length = readSync(handle, start);
  closeSync(handle);
  if (length > 0 && start.toString('latin1') !== databaseHeader) throw noLogbook(file);
}

function makeFolderOf(file: string): void {
  try {
    mkdirSync(path.dirname(file), { recursive: true, mode: 0o700 });
  } catch (error) {
    throw new HalfturnError(
      `The folder of the logbook "${file}" could not be made: ${(error as Error).message}.`,
      'Name another one with --logbook.',
    );
  }
}

function bringUpToDate(database: Connection, file: string, steps: readonly Migration[]): void {
  if (database.pragma('user_version', { simple: true }) !== steps.length)
    database.transaction(() => migrate(database, file, steps)).immediate();
  refuseStranger(database, file);
  database.pragma('journal_mode = WAL');
  // Every committed flight outlives a loss of power too, not only a killed process.
  database.pragma('synchronous = FULL');
  database.pragma('foreign_keys = ON');
}

/** Inside a transaction that excludes other writers: two processes at a new file make it once. */
function migrate(database: Connection, file: string, steps: readonly Migration[]): void {
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

function refuseStranger(database: Connection, file: string): void {
  if (database.pragma('application_id', { simple: true }) !== applicationId)
    throw new HalfturnError(
      `"${file}" is a database of another program, not a logbook.`,
      'Name another file with --logbook. Nothing was changed.',
    );
}

/** One step from the schema before it. A step that was released is never changed: the next one mends it. */
type Migration = (database: Connection) => void;

/** Flights, their recordings, filters and notes. Columns are named as the quantities they hold. */
function createFirstTables(database: Connection): void {
  database.exec(`
    CREATE TABLE flights (
      id INTEGER PRIMARY KEY,
      enteredAt TEXT NOT NULL,
      dump TEXT NOT NULL,
      startedAt TEXT,
      endedAt TEXT,
      place TEXT,
      latitude REAL,
      longitude REAL,
      sky TEXT CHECK (sky IN ('clear', 'haze', 'cloud', 'overcast'))
    ) STRICT;
    CREATE TABLE notes (
      flightId INTEGER PRIMARY KEY REFERENCES flights ON DELETE CASCADE,
      text TEXT NOT NULL
    ) STRICT;
    CREATE TABLE filters (
      id INTEGER PRIMARY KEY,
      label TEXT NOT NULL,
      labelStops REAL NOT NULL,
      UNIQUE (label, labelStops)
    ) STRICT;
    CREATE TABLE recordings (
      id INTEGER PRIMARY KEY,
      flightId INTEGER NOT NULL REFERENCES flights ON DELETE CASCADE,
      fingerprint TEXT NOT NULL UNIQUE,
      filterId INTEGER REFERENCES filters,
      path TEXT NOT NULL,
      kind TEXT NOT NULL CHECK (kind IN ('clip', 'still')),
      recordedAt TEXT,
      atMs REAL,
      timeBasis TEXT,
      camera TEXT,
      framesPerSecond REAL,
      exposureSeconds REAL,
      fNumber REAL,
      iso REAL,
      sensorEv100 REAL,
      offsetStops REAL,
      offsetBasis TEXT,
      inWindow INTEGER,
      shutterVerdict TEXT,
      shutterOffsetStops REAL,
      clippedFraction REAL,
      neededStops REAL,
      additionalStops REAL,
      pickLabel TEXT,
      latitude REAL,
      longitude REAL,
      headingDegrees REAL,
      sunElevationDegrees REAL,
      sunAzimuthDegrees REAL
    ) STRICT;
    CREATE INDEX recordingsOfFlight ON recordings (flightId);
    CREATE TABLE details (
      recordingId INTEGER PRIMARY KEY REFERENCES recordings ON DELETE CASCADE,
      content TEXT NOT NULL
    ) STRICT;
  `);
}

/** A file that was copied in part is known again by when it was shot. */
function indexTimes(database: Connection): void {
  database.exec('CREATE INDEX recordingsByTime ON recordings (recordedAt)');
}

/**
 * Where the camera looked; what the last change took away, to be undone; and the name of a file without its folders, by
 * which a file that was copied in part is found among any number of others with one time.
 */
function addPitchAndUndo(database: Connection): void {
  database.exec(`
    ALTER TABLE recordings ADD COLUMN cameraPitchDegrees REAL;
    DROP INDEX recordingsByTime;
    CREATE INDEX recordingsByShot ON recordings (recordedAt, ${fileName});
    CREATE TABLE lastChange (
      id INTEGER PRIMARY KEY CHECK (id = 1),
      what TEXT NOT NULL,
      added TEXT NOT NULL,
      removed TEXT NOT NULL
    ) STRICT;
  `);
}

/** In order: the first makes schema 1 of an empty file. */
export const migrations: readonly Migration[] = [createFirstTables, indexTimes, addPitchAndUndo];
