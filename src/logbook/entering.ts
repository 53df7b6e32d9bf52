import path from 'node:path';
import type { EntryResult, LoggedFlight, LoggedRecordingWhole } from '../domain/logbook.ts';
import { recordingColumns, rowOf, type Row } from './columns.ts';

/** What entering needs of a prepared statement. */
interface Statement {
  run(...values: unknown[]): { readonly lastInsertRowid: number | bigint };
  get(...values: unknown[]): unknown;
  all(...values: unknown[]): unknown[];
  pluck(): Statement;
}

/** What entering needs of a database. */
interface Preparing {
  prepare(statement: string): Statement;
}

/** Enters flights, or brings those that are known up to date; the caller wraps all of them in one transaction. */
export function enterFlights(database: Preparing, flights: readonly LoggedFlight[]): EntryResult {
  const write = writing(database);
  const counts = flights.map((flight) => enterFlight(write, flight));
  const sum = (of: (one: { entered: number; known: number }) => number) =>
    counts.reduce((total, one) => total + of(one), 0);
  return { flights: flights.length, entered: sum((one) => one.entered), known: sum((one) => one.known) };
}

type Writing = ReturnType<typeof writing>;

function writing(database: Preparing) {
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
