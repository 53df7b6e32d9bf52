import type { Database } from './connection.ts';

/** One step from the schema before it. A step that was released is never changed: the next one mends it. */
export type Migration = (database: Pick<Database, 'exec'>) => void;

/** Flights, their recordings, filters and notes. Columns are named as the quantities they hold. */
function createFirstTables(database: Pick<Database, 'exec'>): void {
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
function indexTimes(database: Pick<Database, 'exec'>): void {
  database.exec('CREATE INDEX recordingsByTime ON recordings (recordedAt)');
}

/** In order: the first makes schema 1 of an empty file. */
export const migrations: readonly Migration[] = [createFirstTables, indexTimes];
