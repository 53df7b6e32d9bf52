import path from 'node:path';
import type { LoggedFilter, LoggedFlight, LoggedRecording } from '../document/loggedFlight.ts';
import { doubtsTheFilter } from '../domain/findingWeight.ts';
import { mostFrequentFirst } from '../domain/grouping.ts';
import type { Connection } from './connection.ts';
import { fileName, rowOf, recordingColumns, type Row } from './queries.ts';
import { changeOf, type Change } from './lastChange.ts';

interface EnterOptions {
  /**
   * Whether those who entered said which filters were fitted. What stands in the logbook then gives way, also where they
   * left a recording out; else it stays.
   */
  readonly saysFilters?: boolean;
}

/** Enters flights, or brings those that are known up to date; the caller wraps all of them in one transaction. */
export function enterFlights(database: Connection, flights: readonly LoggedFlight[], options: EnterOptions) {
  const statements = enteringStatements(database);
  const change = changeOf(database);
  const counts = flights.map((flight) => enterFlight(statements, flight, options, change));
  change.keep(`entering ${flights.length === 1 ? flights[0]!.dump : `${flights.length} flights`}`);
  const sum = (name: Exclude<keyof (typeof counts)[number], 'id'>) =>
    counts.reduce((total, count) => total + count[name], 0);
  return {
    flights: flights.length,
    /** Where they stand now. */
    ids: counts.map(({ id }) => id),
    entered: sum('entered'),
    /** Recordings that the logbook knew already; what is known of them was brought up to date. */
    updated: sum('updated'),
    /** Of those, the ones whose filter was another one before. */
    corrected: sum('corrected'),
    /** Of all, the ones whose filter stands in the logbook now. */
    withFilter: sum('withFilter'),
  };
}

function enterFlight(
  statements: EnteringStatements,
  flight: LoggedFlight,
  options: EnterOptions,
  change: Change,
) {
  for (const { fingerprint } of flight.recordings) {
    const before = flightOfRecording(statements, fingerprint);
    if (before !== undefined) change.before(before);
  }
  completeCopies(statements, flight, change);
  const prints = new Set(flight.recordings.map(({ fingerprint }) => fingerprint));
  const homes = [...prints].flatMap((print) => flightOfRecording(statements, print) ?? []);
  const home = mostFrequentFirst(homes)[0]?.[0];
  const id = home ?? Number(statements.insertFlight.run({ ...flightRow(flight), id: null }).lastInsertRowid);
  if (home === undefined) change.added(id);
  else statements.updateFlight.run({ ...flightRow(flight), ...extendedSpan(statements, flight, id), id });
  if (flight.notes !== undefined) statements.putNotes.run(id, flight.notes);
  const filtersBefore = new Map([...prints].map((print) => [print, filterOfRecording(statements, print)]));
  for (const recording of flight.recordings) {
    // Of two files of one content, notes may name the one; the other takes nothing back.
    const saysFilters = options.saysFilters === true && prints.delete(recording.fingerprint);
    enterRecording(statements, recording, id, saysFilters);
  }
  const filters = [...filtersBefore].map(([print, before]) => ({
    before,
    now: filterOfRecording(statements, print),
  }));
  return {
    id,
    entered: filters.length - homes.length,
    updated: homes.length,
    corrected: filters.filter(({ before, now }) => before !== undefined && now !== before).length,
    withFilter: filters.filter(({ now }) => now !== undefined).length,
  };
}

/** Its row among the filters; undefined where none was entered. */
function filterOfRecording(statements: EnteringStatements, fingerprint: string): number | undefined {
  return (statements.filterOfRecording.get(fingerprint) as number | null | undefined) ?? undefined;
}

function flightOfRecording(statements: EnteringStatements, fingerprint: string): number | undefined {
  return statements.flightOfRecording.get(fingerprint) as number | undefined;
}

interface Shot {
  readonly fingerprint: string;
  readonly flightId: number;
  readonly dump: string;
}

/**
 * A file that was cut off while the card was copied is entered with the content that it had then. The whole file has
 * another fingerprint, but the name, time and camera of the same shot: it takes the place of the part. Only within one
 * dump or flight, for a camera whose clock is not set may say the same of different shots.
 */
function completeCopies(
  statements: EnteringStatements,
  { recordings, dump }: LoggedFlight,
  change: Change,
): void {
  const here = new Set(recordings.map(({ fingerprint }) => fingerprint));
  const homes = new Set([...here].map((fingerprint) => flightOfRecording(statements, fingerprint)));
  for (const { fingerprint, recordedAt, kind, camera = null, path: name } of recordings) {
    if (recordedAt === undefined || flightOfRecording(statements, fingerprint) !== undefined) continue;
    const shots = statements.recordingsOfShot.all({
      recordedAt,
      kind,
      camera,
      name: path.posix.basename(name),
    }) as readonly Shot[];
    const part = shots.find(
      (shot) => !here.has(shot.fingerprint) && (shot.dump === dump || homes.has(shot.flightId)),
    );
    if (part === undefined) continue;
    change.before(part.flightId);
    statements.replaceFingerprint.run({ now: fingerprint, before: part.fingerprint });
  }
}

/** Times are compared as moments, for they may stand in different zones. */
function extendedSpan(statements: EnteringStatements, { startedAt, endedAt }: LoggedFlight, id: number) {
  const before = statements.spanOfFlight.get(id) as { startedAt: string | null; endedAt: string | null };
  const sorted = (times: readonly (string | null | undefined)[]) =>
    times.filter((time) => typeof time === 'string').sort((a, b) => Date.parse(a) - Date.parse(b));
  return {
    startedAt: sorted([before.startedAt, startedAt])[0] ?? null,
    endedAt: sorted([before.endedAt, endedAt]).at(-1) ?? null,
  };
}

function enterRecording(
  statements: EnteringStatements,
  recording: LoggedRecording,
  flightId: number,
  saysFilters: boolean,
): void {
  const { fitted, detail } = recording;
  const row = rowOf(recording, flightId, fitted === undefined ? null : idOfFilter(statements, fitted));
  const isFilterTakenBack = Number(saysFilters || (detail.findings?.some(doubtsTheFilter) ?? false));
  const id = statements.putRecording.get({ ...row, isFilterTakenBack });
  statements.putDetail.run(id, JSON.stringify(detail));
}

function idOfFilter(statements: EnteringStatements, { label, labelStops }: LoggedFilter): number {
  statements.insertFilter.run(label, labelStops);
  return statements.idOfFilter.get(label, labelStops) as number;
}

/** Puts flights that were taken away back where they were. */
export function restoreFlights(
  database: Connection,
  flights: readonly (LoggedFlight & { readonly id: number })[],
) {
  const statements = enteringStatements(database);
  for (const flight of flights) {
    statements.insertFlight.run({ ...flightRow(flight), id: flight.id });
    if (flight.notes !== undefined) statements.putNotes.run(flight.id, flight.notes);
    for (const recording of flight.recordings) enterRecording(statements, recording, flight.id, true);
  }
}

const flightColumns = [
  'enteredAt',
  'dump',
  'startedAt',
  'endedAt',
  'place',
  'latitude',
  'longitude',
  'sky',
] as const satisfies readonly (keyof LoggedFlight)[];

function flightRow(flight: LoggedFlight): Row {
  return Object.fromEntries(flightColumns.map((column) => [column, flight[column] ?? null]));
}

type EnteringStatements = ReturnType<typeof enteringStatements>;

/** What an audit concludes from the filter that was fitted. */
const restsOnFilter: readonly string[] = ['neededStops', 'pickLabel'];
/** What stands there stays where nothing was said of it. But a filter that is taken back would go on teaching. */
const filterId = 'coalesce(excluded.filterId, iif(@isFilterTakenBack, NULL, filterId))';

function enteringStatements(database: Connection) {
  const prepare = (statement: string) => database.prepare(statement);
  const columns = recordingColumns.join(', ');
  const given = recordingColumns.map((column) => `@${column}`).join(', ');
  // A later audit may know less (it was run without notes, or without measuring): what was known then stays. But what
  // was concluded from another filter goes with it.
  const updates = recordingColumns
    .filter((column) => !['flightId', 'fingerprint', 'filterId'].includes(column))
    .map((column) =>
      restsOnFilter.includes(column)
        ? `${column} = coalesce(excluded.${column}, iif(${filterId} IS filterId, ${column}, NULL))`
        : `${column} = coalesce(excluded.${column}, ${column})`,
    );
  return {
    flightOfRecording: prepare('SELECT flightId FROM recordings WHERE fingerprint = ?').pluck(),
    filterOfRecording: prepare('SELECT filterId FROM recordings WHERE fingerprint = ?').pluck(),
    recordingsOfShot: prepare(
      // Any number may share a time where no clock was set, and a name with it: a few tell as much as all.
      `SELECT fingerprint, flightId, dump FROM recordings JOIN flights ON flights.id = flightId
       WHERE recordedAt = @recordedAt AND ${fileName} = @name AND kind = @kind AND camera IS @camera LIMIT 20`,
    ),
    replaceFingerprint: prepare('UPDATE recordings SET fingerprint = @now WHERE fingerprint = @before'),
    insertFlight: prepare(
      `INSERT INTO flights (id, ${flightColumns.join(', ')}) VALUES (@id, ${flightColumns.map((column) => `@${column}`).join(', ')})`,
    ),
    spanOfFlight: prepare('SELECT startedAt, endedAt FROM flights WHERE id = ?'),
    updateFlight: prepare(
      `UPDATE flights SET place = coalesce(@place, place), latitude = coalesce(@latitude, latitude),
         longitude = coalesce(@longitude, longitude), sky = coalesce(@sky, sky),
         startedAt = coalesce(@startedAt, startedAt), endedAt = coalesce(@endedAt, endedAt)
       WHERE id = @id`,
    ),
    putNotes: prepare(
      'INSERT INTO notes (flightId, text) VALUES (?, ?) ON CONFLICT (flightId) DO UPDATE SET text = excluded.text',
    ),
    insertFilter: prepare('INSERT OR IGNORE INTO filters (label, labelStops) VALUES (?, ?)'),
    idOfFilter: prepare('SELECT id FROM filters WHERE label = ? AND labelStops = ?').pluck(),
    putRecording: prepare(
      `INSERT INTO recordings (${columns}) VALUES (${given})
         ON CONFLICT (fingerprint) DO UPDATE SET filterId = ${filterId}, ${updates.join(', ')} RETURNING id`,
    ).pluck(),
    putDetail: prepare(
      `INSERT INTO details (recordingId, content) VALUES (?, ?)
       ON CONFLICT (recordingId) DO UPDATE SET content = excluded.content`,
    ),
  };
}
