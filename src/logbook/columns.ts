import { loggedRecordingSchema, type LoggedRecording } from '../document/loggedFlight.ts';

/** Fields that a column holds under their own names, as they are; the others are stored in another way. */
const { inWindow: _, fitted: __, detail: ___, ...plainFields } = loggedRecordingSchema.shape;
const plainColumns = Object.keys(plainFields) as readonly (keyof typeof plainFields)[];

/** Columns that hold fields of a recording. */
export const fieldColumns = [...plainColumns, 'inWindow'] as const;
/** All columns but the identity of the row. */
export const recordingColumns = [...fieldColumns, 'flightId', 'filterId'] as const;

export type Row = Readonly<Record<string, string | number | null>>;

export function rowOf(recording: LoggedRecording, flightId: number, filterId: number | null): Row {
  const plain = Object.fromEntries(plainColumns.map((column) => [column, recording[column] ?? null]));
  const inWindow = recording.inWindow === undefined ? null : Number(recording.inWindow);
  return { ...plain, inWindow, flightId, filterId };
}

/** A recording of a row that was joined with its filter and its detail. */
export function recordingOf(row: Row): LoggedRecording {
  const { inWindow, label, labelStops, content } = row;
  return {
    ...withoutNulls(Object.fromEntries(plainColumns.map((column) => [column, row[column] ?? null]))),
    ...(inWindow !== null && { inWindow: inWindow === 1 }),
    ...(label !== null && { fitted: { label, labelStops } }),
    detail: JSON.parse(String(content ?? '{}')),
  } as LoggedRecording;
}

export function withoutNulls(row: Row): Record<string, string | number> {
  return Object.fromEntries(Object.entries(row).filter(([, value]) => value !== null)) as Record<
    string,
    string | number
  >;
}
