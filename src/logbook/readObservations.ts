import type { LoggedFlight, LoggedRecording } from '../document/loggedFlight.ts';
import type { Database } from './database.ts';

/** What learning looks at, beside what is known of the flight. */
export interface LoggedObservation extends Pick<
  LoggedRecording,
  | 'kind'
  | 'recordedAt'
  | 'atMs'
  | 'camera'
  | 'sensorEv100'
  | 'offsetBasis'
  | 'inWindow'
  | 'shutterVerdict'
  | 'fitted'
  | 'additionalStops'
  | 'pickLabel'
  | 'headingDegrees'
  | 'sunElevationDegrees'
  | 'sunAzimuthDegrees'
> {
  readonly flightId: number;
  readonly place?: LoggedFlight['place'];
  readonly sky?: LoggedFlight['sky'];
}

type Cell = string | number | null;
type Flight = Pick<LoggedObservation, 'flightId' | 'place' | 'sky'>;

const columns = [
  'flightId',
  'filterId',
  'inWindow',
  'kind',
  'recordedAt',
  'atMs',
  'camera',
  'sensorEv100',
  'offsetBasis',
  'shutterVerdict',
  'additionalStops',
  'pickLabel',
  'headingDegrees',
  'sunElevationDegrees',
  'sunAzimuthDegrees',
] as const;

/**
 * The recordings that were entered last, in the order in which they were entered, with only what learning looks at:
 * hundreds of thousands of them are read while a person looks.
 */
export function readObservations(database: Database, most: number): readonly LoggedObservation[] {
  const rows = (statement: string, ...values: readonly unknown[]) =>
    database
      .prepare(statement)
      .raw()
      .iterate(...values) as Iterable<readonly Cell[]>;
  const filters = new Map<Cell, LoggedObservation['fitted']>();
  for (const [id, label, labelStops] of rows('SELECT id, label, labelStops FROM filters'))
    filters.set(id!, { label: String(label), labelStops: Number(labelStops) });
  const flights = new Map<Cell, Flight>();
  for (const [id, place, sky] of rows('SELECT id, place, sky FROM flights'))
    flights.set(id!, { flightId: id, place: known(place), sky: known(sky) } as unknown as Flight);
  const found: LoggedObservation[] = [];
  const newestFirst = rows(`SELECT ${columns.join(', ')} FROM recordings ORDER BY id DESC LIMIT ?`, most);
  for (const row of newestFirst) found.push(observationOf(row, flights.get(row[0]!)!, filters.get(row[1]!)));
  return found.reverse();
}

/** Every object gets the same fields in the same order, which makes reading them several times faster. */
function observationOf(
  row: readonly Cell[],
  { flightId, place, sky }: Flight,
  fitted: LoggedObservation['fitted'],
): LoggedObservation {
  const inWindow = row[2];
  return {
    flightId,
    place,
    sky,
    fitted,
    inWindow: inWindow === null ? undefined : inWindow === 1,
    kind: row[3],
    recordedAt: known(row[4]),
    atMs: known(row[5]),
    camera: known(row[6]),
    sensorEv100: known(row[7]),
    offsetBasis: known(row[8]),
    shutterVerdict: known(row[9]),
    additionalStops: known(row[10]),
    pickLabel: known(row[11]),
    headingDegrees: known(row[12]),
    sunElevationDegrees: known(row[13]),
    sunAzimuthDegrees: known(row[14]),
  } as LoggedObservation;
}

function known(cell: Cell | undefined): string | number | undefined {
  return cell ?? undefined;
}
