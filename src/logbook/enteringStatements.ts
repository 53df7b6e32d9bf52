import { recordingColumns } from './columns.ts';
import type { Database, Statement } from './database.ts';

export type EnteringStatements = ReturnType<typeof enteringStatements>;

/** What an audit concludes from the filter that was fitted. */
const restsOnFilter: readonly string[] = ['neededStops', 'pickLabel'];
/** What stands there stays where nothing was said of it. But a filter that is taken back would go on teaching. */
const filterId = 'coalesce(excluded.filterId, iif(@isFilterTakenBack, NULL, filterId))';

export function enteringStatements(database: Database) {
  const prepare = (statement: string): Statement => database.prepare(statement);
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
      `SELECT fingerprint, path, flightId, dump FROM recordings JOIN flights ON flights.id = flightId
       WHERE recordedAt = @recordedAt AND kind = @kind AND camera IS @camera`,
    ),
    replaceFingerprint: prepare('UPDATE recordings SET fingerprint = @now WHERE fingerprint = @before'),
    insertFlight: prepare(
      `INSERT INTO flights (enteredAt, dump, startedAt, endedAt, place, latitude, longitude, sky)
       VALUES (@enteredAt, @dump, @startedAt, @endedAt, @place, @latitude, @longitude, @sky)`,
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
