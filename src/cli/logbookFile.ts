import { access, readFile } from 'node:fs/promises';
import path from 'node:path';
import envPaths from 'env-paths';
import { displayText } from '../domain/displayText.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import type { FittedFilter, KitFilter } from '../domain/kit.ts';
import type { EntryResult, LoggedFlight } from '../domain/logbook.ts';
import type { AuditDocument } from '../domain/report.ts';
import { filterIsInDoubt, flightsOf } from '../logbook/entry.ts';
import { measuredKit } from '../logbook/kitStrengths.ts';
import { mostForLight } from '../logbook/learning.ts';
import type { ZoneOffsetAt } from '../logbook/moments.ts';
import { openLogbook, type Logbook } from '../logbook/store.ts';
import { learnStrengths } from '../logbook/strengths.ts';
import { sunPosition } from '../logbook/sunPosition.ts';
import { fittedFor, loadFlightNotes } from '../reading/flightNotes.ts';
import { counted } from '../reporting/format.ts';

/** Where the logbook lies when `--logbook` names no file. */
export function defaultLogbookFile(): string {
  return path.join(envPaths('halfturn', { suffix: '' }).data, 'logbook.sqlite');
}

/** Opens the logbook that was named, or the usual one, for as long as the work takes. */
export async function withLogbook<T>(
  named: string | undefined,
  create: boolean,
  work: (logbook: Logbook) => T | Promise<T>,
): Promise<T> {
  const logbook = openLogbook(named ?? defaultLogbookFile(), { create });
  try {
    return await work(logbook);
  } finally {
    logbook.close();
  }
}

/** Like `withLogbook`, but a logbook that is not there is no error: there is nothing in it. */
export async function withLogbookIfThere<T>(
  named: string | undefined,
  work: (logbook: Logbook | undefined) => T | Promise<T>,
): Promise<T> {
  const file = named ?? defaultLogbookFile();
  const there = await access(file)
    .then(() => true)
    .catch((error: NodeJS.ErrnoException) => error.code !== 'ENOENT');
  return there ? withLogbook(named, false, work) : work(undefined);
}

/** Offset of this computer's zone against UTC, + = east. */
export const zoneOffsetAt: ZoneOffsetAt = (atMs) => -new Date(atMs).getTimezoneOffset();

/** The flag's file; undefined for the usual one; `false` where the audit is to leave the logbook alone. */
export type LogbookFlag = string | boolean | undefined;

/** The kit with the strengths that the logbook supports. A usual logbook that cannot be read costs a warning only. */
export async function kitOfLogbook(
  flag: LogbookFlag,
  kit: readonly KitFilter[],
): Promise<readonly KitFilter[]> {
  if (flag === false) return kit;
  return orWarn(flag, kit, () =>
    withLogbookIfThere(namedBy(flag), (logbook) =>
      logbook === undefined ? kit : measuredKit(kit, learnStrengths(logbook.observations(mostForLight))),
    ),
  );
}

export interface Entering {
  readonly document: AuditDocument;
  readonly flag: LogbookFlag;
  readonly notesFile: string | undefined;
  readonly fitted: FittedFilter | undefined;
  readonly kit: readonly KitFilter[];
}

/** Enters the flights of an audit; says how many recordings stand in the logbook, or nothing where it was left alone. */
export async function enterAudit(entering: Entering): Promise<string | undefined> {
  const { document, flag, notesFile, fitted, kit } = entering;
  if (flag === false || document.recordings.length === 0) return undefined;
  const notes = await loadFlightNotes(document.dump, notesFile, kit);
  const text = notes && (await readFile(notes.file, 'utf8').catch(() => undefined));
  const flights = flightsOf(document, {
    notes: notes && { ...notes, ...(text === undefined ? {} : { text }) },
    fittedOf: (recording) => fitted ?? (notes && fittedFor(recording, notes)),
    sunPosition,
    zoneOffsetAt,
  });
  return orWarn(flag, undefined, () =>
    withLogbook(namedBy(flag), true, (logbook) => {
      const sentences = [
        enteredText(logbook.enter(flights)),
        unknownFilters(flights),
        doubtfulFilters(document),
      ];
      return sentences.filter((one) => one !== '').join(' ');
    }),
  );
}

function enteredText({ flights, entered, known }: EntryResult): string {
  const there =
    known === 0
      ? ''
      : entered === 0
        ? ', all of them known already and brought up to date'
        : `, ${known} of them known already and brought up to date`;
  return `In the logbook: ${counted(flights, 'flight')} with ${counted(entered + known, 'recording')}${there}.`;
}

/** Without a filter nothing can be learned from a flight. */
function unknownFilters(flights: readonly LoggedFlight[]): string {
  const recordings = flights.flatMap((flight) => flight.recordings);
  if (recordings.some(({ fitted }) => fitted !== undefined)) return '';
  return 'Which filter was fitted is not known, so nothing can be learned from it yet: "halfturn note" proposes notes.';
}

/** Until the notes are put right, these teach nothing, and it is said. */
function doubtfulFilters({ recordings }: AuditDocument): string {
  const names = recordings
    .filter(filterIsInDoubt)
    .map(({ path: name }) => displayText(path.posix.basename(name)));
  if (names.length === 0) return '';
  return `The light contradicts what is noted as fitted for ${names.join(', ')}: nothing is learned from it until the notes are right.`;
}

function namedBy(flag: LogbookFlag): string | undefined {
  return typeof flag === 'string' ? flag : undefined;
}

/** A logbook that was named must work. The usual one must not stand in the way of an audit. */
async function orWarn<T>(flag: LogbookFlag, otherwise: T, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    if (!(error instanceof HalfturnError) || typeof flag === 'string') throw error;
    process.stderr.write(
      `halfturn: ${error.message} The logbook is left out; --no-logbook says so at once.\n`,
    );
    return otherwise;
  }
}
