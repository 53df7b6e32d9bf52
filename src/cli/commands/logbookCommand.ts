import { createWriteStream } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { Option, Argument, type Command } from 'commander';
import { exportedText, parseExported, type LoggedFlight } from '../../document/loggedFlight.ts';
import { displayText } from '../../domain/displayText.ts';
import { counted } from '../../domain/format.ts';
import { HalfturnError } from '../../domain/halfturnError.ts';
import type { Logbook } from '../../logbook/store.ts';
import { fileTrouble } from '../../programs/fileTrouble.ts';
import { flightList, flightText, flightsCsv } from '../../report/logbook/flightTables.ts';
import { exitStatus } from '../exitStatus.ts';
import { logbookOption, type CommandLine } from '../flags.ts';
import { withLogbook } from '../logbookFile.ts';

interface LogbookFlags {
  readonly logbook?: string;
  readonly json?: boolean;
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
    .addOption(logbookOption())
    .action(async (flags: LogbookFlags) => end(await runLogbookList(flags)));
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
    .addOption(logbookOption())
    .action(async (number: string, flags: LogbookFlags) => end(await runLogbookRemove(number, flags)));
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

async function runLogbookList({ logbook: file, json }: LogbookFlags): Promise<number> {
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

async function runLogbookRemove(number: string, { logbook: file }: LogbookFlags): Promise<number> {
  const removed = await withLogbook(file, false, (logbook) => logbook.remove(flightNumber(number)));
  if (!removed) throw noSuchFlight(number);
  process.stdout.write(`Flight ${number} is out of the logbook. Auditing its card again enters it again.\n`);
  return exitStatus.finished;
}

async function runLogbookExport({ logbook: file, format, out }: ExportFlags): Promise<number> {
  return withLogbook(file, false, async (logbook) => {
    const flights = allFlights(logbook);
    const text = Readable.from(format === 'csv' ? flightsCsv(flights) : exportedText(flights));
    if (out === undefined) await pipeline(text, process.stdout, { end: false });
    else {
      await pipeline(text, createWriteStream(out, { flags: 'wx' })).catch((error) => refuse(out, error));
      const count = counted(logbook.flights().length, 'flight');
      process.stdout.write(`${count} written to ${displayText(out)}.\n`);
    }
    return exitStatus.finished;
  });
}

async function runLogbookImport(from: string, { logbook: file }: LogbookFlags): Promise<number> {
  const text = await readFile(from, 'utf8').catch((error: Error) => {
    throw new HalfturnError(
      `"${displayText(from)}" could not be read: ${fileTrouble(error)}.`,
      'Give what "halfturn logbook export" wrote.',
    );
  });
  const flights = parseExported(text, from);
  const { entered, updated } = await withLogbook(file, true, (logbook) => logbook.enter(flights));
  process.stdout.write(
    `${counted(flights.length, 'flight')}: ${counted(entered, 'recording')} entered, ${updated} known already.\n`,
  );
  return exitStatus.finished;
}

function* allFlights(logbook: Logbook): Generator<LoggedFlight> {
  for (const { id } of logbook.flights()) {
    const flight = logbook.flight(id);
    if (flight !== undefined) yield flight;
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
