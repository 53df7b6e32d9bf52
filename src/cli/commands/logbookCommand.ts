import { createWriteStream } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { createInterface } from 'node:readline/promises';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { Option, Argument, type Command } from 'commander';
import { exportedText, parseExported, type LoggedFlight } from '../../document/loggedFlight.ts';
import { displayText } from '../../domain/displayText.ts';
import { counted } from '../../domain/format.ts';
import { HalfturnError } from '../../domain/halfturnError.ts';
import { learn } from '../../logbook/learning.ts';
import type { Logbook } from '../../logbook/store.ts';
import { matcher } from '../../reading/flightNotes.ts';
import { flightsPage } from '../../report/logbook/flightsPage.tsx';
import { fileTrouble } from '../../programs/fileTrouble.ts';
import { flightList, flightText, flightsCsv } from '../../report/logbook/flightTables.ts';
import { exitStatus } from '../exitStatus.ts';
import { fittedFromFlag, logbookOption, settingsOption, type CommandLine } from '../flags.ts';
import { endAtOnce, withLogbook } from '../logbookFile.ts';
import { writePage } from '../outputs.ts';
import { loadSettings } from '../settings.ts';

interface LogbookFlags {
  readonly logbook?: string;
  readonly json?: boolean;
}

interface ListFlags extends LogbookFlags {
  readonly out?: string;
}

interface RemoveFlags {
  readonly logbook?: string;
  readonly yes?: boolean;
}

interface CorrectFlags {
  readonly logbook?: string;
  readonly settings?: string;
  readonly fitted: string;
  readonly files?: string;
}

interface ExportFlags extends LogbookFlags {
  readonly format: 'json' | 'csv';
  readonly out?: string;
}

export function addCommand(program: Command, { end }: CommandLine): void {
  const logbook = program
    .command('logbook')
    .description('past flights')
    .addHelpText('after', '\nExample:\n  halfturn logbook show 12');
  logbook
    .command('list', { isDefault: true })
    .description('all flights, a line each')
    .option('--json', 'print them for other programs and nothing else')
    .option(
      '--out <file>',
      'write them as a page: what each card needed and got, and whether choices land more often',
    )
    .addOption(logbookOption())
    .action(async (flags: ListFlags) => end(await runLogbookList(flags)));
  logbook
    .command('show')
    .description('one flight with its recordings')
    .addArgument(new Argument('<number>', 'its number in the list'))
    .option('--json', 'print it for other programs and nothing else')
    .addOption(logbookOption())
    .action(async (number: string, flags: LogbookFlags) => end(await runLogbookShow(number, flags)));
  logbook
    .command('remove')
    .description('take one flight out')
    .addArgument(new Argument('<number>', 'its number in the list'))
    .option('--yes', 'do not ask')
    .addOption(logbookOption())
    .action(async (number: string, flags: RemoveFlags) => end(await runLogbookRemove(number, flags)));
  logbook
    .command('correct')
    .description('say what was really fitted on a flight')
    .addArgument(new Argument('<number>', 'its number in the list'))
    .requiredOption('--fitted <filter>', 'a label of your kit, ND16, D1.2, none, or unknown')
    .option('--files <pattern>', 'only for these, such as CLIP000* (default: the whole flight)')
    .addOption(settingsOption())
    .addOption(logbookOption())
    .action(async (number: string, flags: CorrectFlags) => end(await runLogbookCorrect(number, flags)));
  logbook
    .command('undo')
    .description('take the last change of the logbook back')
    .addOption(logbookOption())
    .action(async (flags: LogbookFlags) => end(await runLogbookUndo(flags)));
  logbook
    .command('export')
    .description('print or write all flights')
    .addOption(
      new Option('--format <format>', 'json holds everything; csv is a line for each recording')
        .choices(['json', 'csv'])
        .default('json'),
    )
    .option('--out <file>', 'write it there')
    .addOption(logbookOption())
    .action(async (flags: ExportFlags) => end(await runLogbookExport(flags)));
  logbook
    .command('import')
    .description('enter the flights of an export; what is known already does not count twice')
    .addArgument(new Argument('<file>', 'what "export" wrote, in JSON'))
    .addOption(logbookOption())
    .action(async (file: string, flags: LogbookFlags) => end(await runLogbookImport(file, flags)));
}

async function runLogbookList({ logbook: file, json, out }: ListFlags): Promise<number> {
  if (out !== undefined) {
    const observations = await withLogbook(file, false, (logbook) => logbook.observations());
    await writePage(
      out,
      flightsPage(learn({ observations, kit: [], generatedAt: new Date().toISOString() })),
    );
    process.stdout.write(`The page is ${displayText(out)}.\n`);
    return exitStatus.finished;
  }
  const flights = await withLogbook(file, false, (logbook) => logbook.flights());
  process.stdout.write(json === true ? jsonText(flights) : flightList(flights));
  return exitStatus.finished;
}

async function runLogbookShow(number: string, { logbook: file, json }: LogbookFlags): Promise<number> {
  const id = flightNumber(number);
  const flight = await withLogbook(file, false, (logbook) => logbook.flight(id));
  if (flight === undefined) throw noSuchFlight(number);
  process.stdout.write(json === true ? jsonText(flight) : flightText(id, flight));
  return exitStatus.finished;
}

async function runLogbookRemove(number: string, { logbook: file, yes }: RemoveFlags): Promise<number> {
  const id = flightNumber(number);
  return withLogbook(file, false, async (logbook) => {
    const flight = logbook.flight(id);
    if (flight === undefined) throw noSuchFlight(number);
    const { startedAt = flight.enteredAt, recordings, dump } = flight;
    const about = `flight ${number} of ${startedAt.slice(0, 10)}, ${counted(recordings.length, 'recording')} of ${displayText(dump)}`;
    if (yes !== true && !(await isAgreed(`Take ${about} out of the logbook?`))) {
      process.stdout.write('Nothing was changed.\n');
      return exitStatus.finished;
    }
    logbook.remove(id);
    process.stdout.write(
      `Flight ${number} is out of the logbook. "halfturn logbook undo" brings it back, and so does auditing its card again.\n`,
    );
    return exitStatus.finished;
  });
}

async function isAgreed(question: string): Promise<boolean> {
  if (!process.stdin.isTTY)
    throw new HalfturnError('There is no terminal to ask at.', 'Add --yes where you are sure.');
  const terminal = createInterface({ input: process.stdin, output: process.stderr });
  const answer = await terminal.question(`${question} [y/N] `).finally(() => terminal.close());
  return /^y(es)?$/i.test(answer.trim());
}

async function runLogbookCorrect(number: string, flags: CorrectFlags): Promise<number> {
  const id = flightNumber(number);
  const { kit } = await loadSettings(flags.settings);
  const named = flags.fitted.toLowerCase() === 'unknown' ? undefined : fittedFromFlag(flags.fitted, kit);
  const fitted = named && { label: named.label, labelStops: named.stops };
  const isMeant = flags.files === undefined ? () => true : matcher(flags.files);
  const corrected = await withLogbook(flags.logbook, false, (logbook) => {
    if (logbook.flight(id) === undefined) throw noSuchFlight(number);
    return logbook.correct(id, { fitted, isMeant });
  });
  if (corrected === 0)
    throw new HalfturnError(
      `Flight ${number} holds no file that "${displayText(flags.files ?? '')}" names.`,
      `"halfturn logbook show ${number}" lists them.`,
    );
  process.stdout.write(
    `Flight ${number}: ${counted(corrected, 'recording')} now with ${fitted === undefined ? 'an unknown filter' : displayText(fitted.label)}. "halfturn logbook undo" takes it back.\n`,
  );
  return exitStatus.finished;
}

async function runLogbookUndo({ logbook: file }: LogbookFlags): Promise<number> {
  const undone = await withLogbook(file, false, (logbook) => logbook.undo());
  if (undone === undefined)
    throw new HalfturnError(
      'There is nothing to take back.',
      'One step is kept: the last entry, correction or removal, up to 5,000 recordings.',
    );
  process.stdout.write(`Taken back: ${displayText(undone)}.\n`);
  return exitStatus.finished;
}

async function runLogbookExport({ logbook: file, format, out }: ExportFlags): Promise<number> {
  return withLogbook(file, false, async (logbook) => {
    const damaged: number[] = [];
    const flights = allFlights(logbook, damaged);
    const text = Readable.from(format === 'csv' ? flightsCsv(flights) : exportedText(flights));
    if (out === undefined) await pipeline(text, process.stdout, { end: false });
    else {
      await pipeline(text, createWriteStream(out, { flags: 'wx', mode: 0o600 })).catch((error) =>
        refuse(out, error),
      );
      const count = counted(logbook.flights().length - damaged.length, 'flight');
      process.stdout.write(`${count} written to ${displayText(out)}.\n`);
    }
    if (damaged.length === 0) return exitStatus.finished;
    process.stderr.write(
      `halfturn: ${counted(damaged.length, 'flight')} could not be read and ${damaged.length === 1 ? 'is' : 'are'} left out: ${damaged.join(', ')}. The logbook is damaged there.\n`,
    );
    return exitStatus.notDone;
  });
}

async function runLogbookImport(from: string, { logbook: file }: LogbookFlags): Promise<number> {
  const text = await readFile(from, 'utf8').catch((error: Error) => {
    throw new HalfturnError(
      `"${displayText(from)}" could not be read: ${fileTrouble(error)}.`,
      'Give what "halfturn logbook export" wrote.',
    );
  });
  endAtOnce();
  const { flights, leftOut } = parseExported(text, from);
  const { entered, updated } = await withLogbook(file, true, (logbook) => logbook.enter(flights));
  process.stdout.write(
    `${counted(flights.length, 'flight')}: ${counted(entered, 'recording')} entered, ${updated} known already.\n`,
  );
  if (leftOut > 0)
    process.stdout.write(
      `${counted(leftOut, 'value')} that no recording can have ${leftOut === 1 ? 'was' : 'were'} left out.\n`,
    );
  return exitStatus.finished;
}

/** What can be read; the numbers of what cannot are gathered. */
function* allFlights(logbook: Logbook, damaged: number[]): Generator<LoggedFlight> {
  for (const id of logbook.flightNumbers()) {
    const flight = readable(() => logbook.flight(id));
    if (flight === undefined) damaged.push(id);
    else yield flight;
  }
}

function readable<T>(read: () => T): T | undefined {
  try {
    return read();
  } catch (error) {
    if (error instanceof HalfturnError) return undefined;
    throw error;
  }
}

function refuse(out: string, error: NodeJS.ErrnoException): never {
  if (error.code === 'EEXIST')
    throw new HalfturnError(`"${displayText(out)}" is there already.`, 'Name another file with --out.');
  throw new HalfturnError(
    `The export could not be written to "${displayText(out)}": ${fileTrouble(error, 'write')}.`,
    'Name another file with --out.',
  );
}

function flightNumber(text: string): number {
  if (/^[1-9]\d{0,14}$/.test(text)) return Number(text);
  throw new HalfturnError(
    `"${displayText(text)}" is no number of a flight.`,
    '"halfturn logbook list" shows the numbers.',
  );
}

function noSuchFlight(number: string): HalfturnError {
  return new HalfturnError(
    `There is no flight ${displayText(number)} in the logbook.`,
    '"halfturn logbook list" shows those that are.',
  );
}

function jsonText(value: unknown): string {
  return `${JSON.stringify(value, undefined, 2)}\n`;
}
