import { stringify } from 'csv-stringify/sync';
import { displayText } from '../../domain/displayText.ts';
import type { LoggedFlight, LoggedRecording } from '../../document/loggedFlight.ts';

type Cell = string | number | undefined;

const recordingColumns: readonly (readonly [string, (one: LoggedRecording) => Cell])[] = [
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
const flightColumns: readonly (readonly [string, (one: LoggedFlight) => Cell])[] = [
  ['flight', ({ startedAt, enteredAt }) => startedAt ?? enteredAt],
  ['place', ({ place }) => place && displayText(place)],
  ['sky', ({ sky }) => sky],
];

/** One line for each recording, flight by flight; the header comes first. */
export function* flightsCsv(flights: Iterable<LoggedFlight>): Generator<string> {
  yield csvLine([...flightColumns, ...recordingColumns].map(([header]) => header));
  for (const flight of flights) {
    const about = flightColumns.map(([, cell]) => cell(flight));
    for (const one of flight.recordings)
      yield csvLine([...about, ...recordingColumns.map(([, cell]) => rounded(cell(one)))]);
  }
}

function csvLine(cells: readonly Cell[]): string {
  return stringify([[...cells]], { escape_formulas: true });
}

function rounded(cell: Cell): Cell {
  return typeof cell === 'number' ? Number(cell.toPrecision(8)) : cell;
}
