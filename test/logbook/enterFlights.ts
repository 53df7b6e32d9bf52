import { openLogbook } from '../../src/logbook/store.ts';
import { madeFlight } from './madeFlight.ts';

/*
 * Enters flights one after the other until it is killed or has done as many as it was told, and says each one's number
 * when it was committed: node --import tsx enterFlights.ts <logbook> <first> <count> <recordings>
 */
const [file = '', first = '0', count = '1', recordings = '40'] = process.argv.slice(2);
const logbook = openLogbook(file, { create: true });
for (let number = Number(first); number < Number(first) + Number(count); number++) {
  logbook.enter([madeFlight(number, Number(recordings))]);
  process.stdout.write(`${number}\n`);
}
logbook.close();
