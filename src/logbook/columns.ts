import type { LoggedRecording } from '../domain/logbook.ts';

/** Columns of a recording that hold its fields under their own names. */
export const plainColumns = [
  'fingerprint',
  'path',
  'kind',
  'recordedAt',
  'atMs',
  'timeBasis',
  'camera',
  'framesPerSecond',
  'exposureSeconds',
  'fNumber',
  'iso',
  'sensorEv100',
  'offsetStops',
  'offsetBasis',
  'shutterVerdict',
  'shutterOffsetStops',
  'clippedFraction',
  'neededStops',
  'additionalStops',
  'pickLabel',
  'latitude',
  'longitude',
  'headingDegrees',
  'sunElevationDegrees',
  'sunAzimuthDegrees',
] as const satisfies readonly (keyof LoggedRecording)[];

/** All columns but the identity of the row. */
export const recordingColumns = [...plainColumns, 'inWindow', 'flightId', 'filterId'] as const;

export type Row = Readonly<Record<string, string | number | null>>;

export function rowOf(recording: LoggedRecording, flightId: number, filterId: number | null): Row {
  const plain = Object.fromEntries(plainColumns.map((column) => [column, recording[column] ?? null]));
  const inWindow = recording.inWindow === undefined ? null : Number(recording.inWindow);
  return { ...plain, inWindow, flightId, filterId };
}

/** A row that was joined with its filter. */
export function recordingOf(row: Row): LoggedRecording {
  const found: Record<string, unknown> = {};
  for (const column of plainColumns) {
    const value = row[column];
    if (value !== null && value !== undefined) found[column] = value;
  }
  if (row['inWindow'] !== null) found['inWindow'] = row['inWindow'] === 1;
  if (row['label'] !== null) found['fitted'] = { label: row['label'], labelStops: row['labelStops'] };
  return found as unknown as LoggedRecording;
}
