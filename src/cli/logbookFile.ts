import { access } from 'node:fs/promises';
import path from 'node:path';
import envPaths from 'env-paths';
import type { AuditDocument } from '../document/auditDocument.ts';
import { displayText } from '../domain/displayText.ts';
import { doubtsTheFilter } from '../domain/findingWeight.ts';
import { counted, stopsInWords } from '../domain/format.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import type { FittedFilter, KitFilter } from '../domain/filterKit.ts';
import { isClockGuessed, isZoneAt, momentOf, type ZoneOffsetAt } from '../domain/localTime.ts';
import { fileFailure } from '../logbook/connection.ts';
import type { LoggedFlight, LoggedRecording } from '../document/loggedFlight.ts';
import { flightsOf } from '../logbook/flightsOf.ts';
import { lightOf, mostForLight } from '../logbook/learning.ts';
import { brightestEv100, isClockInDoubt, isLightOnEarth, type LightModel } from '../logbook/lightModel.ts';
import { openLogbook, type Logbook } from '../logbook/store.ts';
import { fittedFor } from '../reading/flightNotes.ts';
import { loadFlightNotes } from '../reading/loadFlightNotes.ts';
import { zoneOf } from '../reading/timeZone.ts';
import { tryFolder } from './outputs.ts';

export function defaultLogbookFile(): string {
  return path.join(envPaths('halfturn', { suffix: '' }).data, 'logbook.sqlite');
}

/** Whether the folder of the logbook can be made and written to, where SQLite writes beside the file as well. */
function tryLogbookFolder(named: string | undefined): void {
  const file = named ?? defaultLogbookFile();
  try {
    tryFolder(path.dirname(path.resolve(file)));
  } catch (error) {
    throw fileFailure(file, error as NodeJS.ErrnoException);
  }
}

/** Work on a logbook is one long step in which no handler of a signal would run: without one the system ends it. */
export function endAtOnce(): void {
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.removeAllListeners(signal);
}

/** Opens the logbook that was named, or the usual one, for as long as the work takes. */
export async function withLogbook<T>(
  named: string | undefined,
  create: boolean,
  work: (logbook: Logbook) => T | Promise<T>,
): Promise<T> {
  const logbook = openLogbook(named ?? defaultLogbookFile(), { create, isOwnFolder: named === undefined });
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
  const there = await access(path.resolve(file))
    .then(() => true)
    .catch((error: NodeJS.ErrnoException) => error.code !== 'ENOENT');
  return there ? withLogbook(named, false, work) : work(undefined);
}

/**
 * Tries the logbook before anything is measured. One that was named must work; a usual one that does not costs a warning
 * and is left out.
 */
export async function openedForAudit(named: string | undefined) {
  return orWarn(named, 'The logbook is left out; --no-logbook says so at once.', async () => {
    tryLogbookFolder(named);
    await withLogbookIfThere(named, () => undefined);
    const mend = 'This flight is not in it: run the audit again when that is mended.';
    return {
      /** Enters the flights and says so; nothing where there was none to enter. */
      enter: (document: AuditDocument, given: Given) =>
        orWarn(named, mend, () => enterAudit(document, given, named)),
    };
  });
}

/** What was said of the dump, and what holds without. */
interface Given {
  readonly notesFile: string | undefined;
  readonly fitted: FittedFilter | undefined;
  readonly settings: {
    readonly kit: readonly KitFilter[];
    readonly zone?: ZoneOffsetAt;
    readonly usualZone?: ZoneOffsetAt;
  };
}

/** What an audit says of light and clocks that cannot be, where nothing is entered. */
export async function faultsWithoutLogbook(
  document: AuditDocument,
  given: Given,
): Promise<string | undefined> {
  const { flights, zoneOffsetAt } = await flightsGiven(document, given);
  const sentences = [impossibleLight(flights), wrongZones(flights, zoneOffsetAt)].filter(Boolean);
  return sentences.length === 0 ? undefined : sentences.join(' ');
}

async function flightsGiven(document: AuditDocument, { notesFile, fitted, settings }: Given) {
  const notes = await loadFlightNotes(document.dump, notesFile, settings.kit);
  const zoneOffsetAt = zoneOf(settings, notes);
  const flights = flightsOf(document, {
    notes,
    fittedOf: (recording) => fitted ?? (notes && fittedFor(recording, notes, zoneOffsetAt)),
    zoneOffsetAt,
  });
  return { notes, zoneOffsetAt, flights };
}

async function enterAudit(
  document: AuditDocument,
  given: Given,
  named: string | undefined,
): Promise<string | undefined> {
  if (document.recordings.length === 0) return undefined;
  const { notes, zoneOffsetAt, flights } = await flightsGiven(document, given);
  // Notes that name filters speak for the whole card: what they leave out was not meant.
  const saysFilters = given.fitted !== undefined || (notes?.fitted.length ?? 0) > 0;
  return withLogbook(named, true, (logbook) => {
    const result = logbook.enter(flights, { saysFilters });
    const model = lightOf(logbook.observations(mostForLight));
    const wrongLight = impossibleLight(flights);
    const sentences = [
      enteredText(result),
      unknownFilters(result),
      doubtfulFilters(document),
      contradictedFlights(model, result.ids),
      wrongLight && `${wrongLight} Nothing is learned from it.`,
      wrongZones(flights, zoneOffsetAt) || guessedZones(flights, zoneOffsetAt),
    ];
    return sentences.filter((sentence) => sentence !== '').join(' ');
  });
}

type EntryResult = ReturnType<Logbook['enter']>;

function enteredText({ flights, entered, updated, corrected }: EntryResult): string {
  const there =
    updated === 0
      ? ''
      : entered === 0
        ? ', all of them known already and brought up to date'
        : `, ${updated} of them known already and brought up to date`;
  const put = corrected === 0 ? '' : ` The filter of ${counted(corrected, 'recording')} was corrected.`;
  return `In the logbook: ${counted(flights, 'flight')} with ${counted(entered + updated, 'recording')}${there}.${put}`;
}

/** Without a filter nothing can be learned from a flight. */
function unknownFilters({ withFilter }: EntryResult): string {
  if (withFilter > 0) return '';
  return 'Which filter was fitted is not known, so nothing can be learned from it yet: "halfturn note" proposes notes.';
}

/** Until the notes are put right, these teach nothing, and it is said. */
function doubtfulFilters({ recordings }: AuditDocument): string {
  const names = recordings.flatMap(({ path: name, findings }) =>
    findings.some(doubtsTheFilter) ? displayText(path.posix.basename(name)) : [],
  );
  if (names.length === 0) return '';
  return `The light contradicts what is noted as fitted for ${names.join(', ')}: nothing is learned from it until the notes are right.`;
}

/** A whole flight that daylight contradicts is asked about, once it is in the logbook. */
function contradictedFlights({ doubted }: LightModel, ids: readonly number[]): string {
  return doubted
    .filter(({ flightId }) => ids.includes(flightId))
    .map(({ flightId, offsetStops }) => {
      const far = `${stopsInWords(offsetStops)} ${offsetStops > 0 ? 'brighter' : 'darker'}`;
      const flight = `flight ${flightId} was ${far} than daylight and your other flights allow`;
      return isClockInDoubt(offsetStops)
        ? `By its clock, ${flight}: is the clock right? Audit again with --zone, or remove it. Nothing is learned from it.`
        : `With what is noted as fitted, ${flight}: was the filter on? Nothing is learned from it until "halfturn logbook correct ${flightId} --fitted <filter>" says what was.`;
    })
    .join(' ');
}

/** Light that no daylight gives is a fault of settings or notes, whatever filter was on: it only takes light away. */
function impossibleLight(flights: readonly LoggedFlight[]): string {
  const wrong = recordingsOf(flights).filter(({ sensorEv100, fitted }) =>
    sensorEv100 === undefined
      ? false
      : fitted === undefined
        ? sensorEv100 > brightestEv100
        : !isLightOnEarth(sensorEv100 + fitted.labelStops),
  );
  if (wrong.length === 0) return '';
  const check = wrong.every(({ fitted }) => fitted === undefined)
    ? ': check aperture and ISO'
    : ' with that filter: check what was noted';
  return `${namesInWords(wrong)}: no light on earth fits these settings${check}.`;
}

/** A clock zone that cannot be where the recording was made puts the sun in a wrong place. */
function wrongZones(flights: readonly LoggedFlight[], zoneOffsetAt: ZoneOffsetAt): string {
  const wrong = recordingsOf(flights).filter(({ recordedAt, longitude }) => {
    if (recordedAt === undefined || longitude === undefined || recordedAt.endsWith('Z')) return false;
    const moment = momentOf({ recordedAt, longitude, zoneOffsetAt });
    return moment !== undefined && !isZoneAt(moment.offsetMinutes, longitude);
  });
  if (wrong.length === 0) return '';
  return `The clock of ${namesInWords(wrong)} stood in a zone that cannot be at that longitude: heights of the sun may be wrong. --zone names the right one.`;
}

function guessedZones(flights: readonly LoggedFlight[], zoneOffsetAt: ZoneOffsetAt): string {
  const isGuessed = recordingsOf(flights).some(
    ({ recordedAt, longitude }) =>
      recordedAt !== undefined && isClockGuessed({ recordedAt, longitude, zoneOffsetAt }),
  );
  return isGuessed
    ? 'The zone of its clock was guessed from the longitude, without summer time: --zone names the right one.'
    : '';
}

function recordingsOf(flights: readonly LoggedFlight[]): readonly LoggedRecording[] {
  return flights.flatMap(({ recordings }) => recordings);
}

const mostNames = 3;

function namesInWords(recordings: readonly LoggedRecording[]): string {
  const names = recordings.map(({ path: name }) => displayText(path.posix.basename(name)));
  const more = names.length - mostNames;
  return more > 0 ? `${names.slice(0, mostNames).join(', ')} and ${more} more` : names.join(', ');
}

/** A logbook that was named must work. The usual one must not stand in the way of an audit. */
async function orWarn<T>(
  named: string | undefined,
  instead: string,
  work: () => Promise<T>,
): Promise<T | undefined> {
  try {
    return await work();
  } catch (error) {
    if (!(error instanceof HalfturnError) || named !== undefined) throw error;
    process.stderr.write(`halfturn: ${error.message} ${instead}\n`);
    return undefined;
  }
}
