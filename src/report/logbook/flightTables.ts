import { stringify } from 'csv-stringify/sync';
import type { FlightSummary, LoggedFlight, LoggedRecording } from '../../document/loggedFlight.ts';
import { displayText } from '../../domain/displayText.ts';
import { counted, formatEv, formatStops } from '../../domain/format.ts';
import { sharedFolder } from '../arrangement.ts';
import { textTable } from '../table.ts';
import { heightText } from './planSheet.tsx';

const unknown = '·';
const guessedClock = 'the zone was guessed from the longitude, without summer time';

export function flightList(flights: readonly FlightSummary[]): string {
  if (flights.length === 0) return 'The logbook is empty: every audit enters its flight.\n';
  const rows = flights.map((flight) => [
    String(flight.id),
    `${shortTime(flight.startedAt ?? flight.enteredAt)}${flight.isClockGuessed ? '?' : ''}`,
    flight.place ?? unknown,
    flight.sky ?? unknown,
    String(flight.clips),
    String(flight.stills),
    flight.filters.length === 0 ? unknown : flight.filters.join(', '),
    flight.dump,
  ]);
  const table = textTable([['no.', 'when', 'place', 'sky', 'clips', 'stills', 'filters', 'dump'], ...rows]);
  return flights.some(({ isClockGuessed }) => isClockGuessed) ? `${table}   ? ${guessedClock}\n` : table;
}

export function flightText(id: number, flight: LoggedFlight): string {
  const { place, sky, startedAt, recordings, dump, notes } = flight;
  const folder = sharedFolder(recordings.map((recording) => recording.path));
  const about = [
    `Flight ${id}, ${startedAt === undefined ? 'at a time that was not recorded' : shortTime(startedAt)}`,
    place === undefined ? undefined : `at ${displayText(place)}`,
    sky === undefined ? undefined : `sky ${sky}`,
    `${counted(recordings.length, 'recording')} of ${displayText(dump)}`,
    folder === '' ? undefined : `all in ${displayText(folder)}`,
  ];
  const rows = recordings.map((recording) => [
    recording.path.slice(folder.length),
    recording.recordedAt === undefined ? unknown : clockIn(recording.recordedAt, startedAt),
    recording.fitted?.label ?? unknown,
    recording.shutterVerdict === 'unknown' ? unknown : (recording.shutterVerdict ?? unknown),
    recording.offsetStops === undefined ? unknown : formatStops(recording.offsetStops),
    recording.sensorEv100 === undefined || recording.fitted === undefined
      ? unknown
      : formatEv(recording.sensorEv100 + recording.fitted.labelStops),
    recording.sunElevationDegrees === undefined ? unknown : heightText(recording.sunElevationDegrees),
    recording.pickLabel ?? unknown,
  ]);
  const head = ['recording', 'time', 'fitted', 'shutter', 'exposure', 'light EV', 'sun', 'carry'];
  const guessed = recordings.some(({ timeBasis }) => timeBasis === 'longitude-zone');
  const written = notes === undefined ? '' : `\nNotes\n${indented(notes)}`;
  return `${about.filter((part) => part !== undefined).join(', ')}.\n\n${textTable([head, ...rows])}${guessed ? `Of the times: ${guessedClock}.\n` : ''}${written}`;
}

/** Without seconds and zone, which a list does not need. */
function shortTime(recordedAt: string): string {
  return recordedAt.slice(0, 16).replace('T', ' ');
}

/** Time of day of a recording. One that is known in UTC only is put into the zone of its flight. */
function clockIn(recordedAt: string, startedAt: string | undefined): string {
  const [, sign, hours, minutes] = /([+-])(\d\d):(\d\d)$/.exec(startedAt ?? '') ?? [];
  const atMs = recordedAt.endsWith('Z') ? Date.parse(recordedAt) : Number.NaN;
  if (sign === undefined || Number.isNaN(atMs)) return recordedAt.slice(11, 16);
  const offsetMinutes = (sign === '-' ? -1 : 1) * (60 * Number(hours) + Number(minutes));
  return new Date(atMs + offsetMinutes * 60_000).toISOString().slice(11, 16);
}

function indented(text: string): string {
  return text
    .trimEnd()
    .split('\n')
    .map((line) => `   ${displayText(line)}`.trimEnd() + '\n')
    .join('');
}

type Cell = string | number | undefined;

const recordingColumns: readonly (readonly [string, (recording: LoggedRecording) => Cell])[] = [
  ['recording', ({ path }) => displayText(path)],
  ['kind', ({ kind }) => kind],
  ['recorded at', ({ recordedAt }) => recordedAt],
  ['time by', ({ timeBasis }) => timeBasis],
  ['camera', ({ camera }) => camera && displayText(camera)],
  ['frame rate (fps)', ({ framesPerSecond }) => framesPerSecond],
  ['exposure time (s)', ({ exposureSeconds }) => exposureSeconds],
  ['f-number', ({ fNumber }) => fNumber],
  ['ISO', ({ iso }) => iso],
  ['fitted', ({ fitted }) => fitted && displayText(fitted.label)],
  ['fitted (stops by label)', ({ fitted }) => fitted?.labelStops],
  ['light behind the filter (EV at ISO 100)', ({ sensorEv100 }) => sensorEv100],
  ['exposure offset (stops)', ({ offsetStops }) => offsetStops],
  ['exposure in window', ({ inWindow }) => (inWindow === undefined ? undefined : inWindow ? 'yes' : 'no')],
  ['shutter verdict', ({ shutterVerdict }) => shutterVerdict],
  ['shutter off target (stops)', ({ shutterOffsetStops }) => shutterOffsetStops],
  ['filter needed (stops)', ({ neededStops }) => neededStops],
  ['filter to add (stops)', ({ additionalStops }) => additionalStops],
  ['carry', ({ pickLabel }) => pickLabel && displayText(pickLabel)],
  ['sun elevation (degrees)', ({ sunElevationDegrees }) => sunElevationDegrees],
  ['sun azimuth (degrees)', ({ sunAzimuthDegrees }) => sunAzimuthDegrees],
  ['heading (degrees)', ({ headingDegrees }) => headingDegrees],
  ['fingerprint', ({ fingerprint }) => fingerprint],
];
const flightColumns: readonly (readonly [string, (flight: LoggedFlight) => Cell])[] = [
  ['flight', ({ startedAt, enteredAt }) => startedAt ?? enteredAt],
  ['place', ({ place }) => place && displayText(place)],
  ['sky', ({ sky }) => sky],
];

/** One line for each recording, flight by flight; the header comes first. */
export function* flightsCsv(flights: Iterable<LoggedFlight>): Generator<string> {
  yield csvLine([...flightColumns, ...recordingColumns].map(([header]) => header));
  for (const flight of flights) {
    const about = flightColumns.map(([, cell]) => cell(flight));
    for (const recording of flight.recordings)
      yield csvLine([...about, ...recordingColumns.map(([, cell]) => rounded(cell(recording)))]);
  }
}

function csvLine(cells: readonly Cell[]): string {
  return stringify([[...cells]], { escape_formulas: true });
}

function rounded(cell: Cell): Cell {
  return typeof cell === 'number' ? Number(cell.toPrecision(8)) : cell;
}
