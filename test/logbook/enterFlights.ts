import type { LoggedRecording } from '../../src/document/loggedFlight.ts';
import { openLogbook } from '../../src/logbook/store.ts';
import { madeFlight } from './madeFlight.ts';

/*
 * Enters flights one after the other until it is killed or has done as many as it was told, and says each one's number
 * when it was committed: node --import tsx enterFlights.ts <logbook> <first> <count> <recordings> [<fatal>]
 * With a last number it kills itself in the last flight, when that recording stands in it and its details do not.
 */
const [file = '', first = '0', count = '1', recordings = '40', fatal] = process.argv.slice(2);
const logbook = openLogbook(file, { create: true });
const last = Number(first) + Number(count) - 1;
for (let number = Number(first); number <= last; number++) {
  const flight = madeFlight(number, Number(recordings));
  const dies = fatal !== undefined && number === last;
  logbook.enter([dies ? { ...flight, recordings: flight.recordings.map(fatalAt(Number(fatal))) } : flight]);
  process.stdout.write(`${number}\n`);
}
logbook.close();

function fatalAt(place: number) {
  const kill = () => process.kill(process.pid, 'SIGKILL');
  return (recording: LoggedRecording, at: number): LoggedRecording =>
    at === place ? { ...recording, detail: Object.assign({ toJSON: kill }, recording.detail) } : recording;
}
