import path from 'node:path';
import { displayText } from '../domain/displayText.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import type { FittedFilter, KitFilter } from '../domain/kit.ts';
import type { EntryResult, LoggedFlight } from '../domain/logbook.ts';
import type { AuditDocument } from '../domain/report.ts';
import { filterIsInDoubt, flightsOf } from '../logbook/flightsOf.ts';
import { measuredKit } from '../logbook/kitStrengths.ts';
import { mostForLight } from '../logbook/learning.ts';
import { learnStrengths } from '../logbook/strengths.ts';
import { sunPosition } from '../logbook/sunPosition.ts';
import { computerZoneOffsetAt } from '../reading/computerZone.ts';
import { fittedFor } from '../reading/notedFilter.ts';
import { loadFlightNotes } from '../reading/flightNotes.ts';
import { counted } from '../reporting/format.ts';
import { withLogbook, withLogbookIfThere } from './logbookFile.ts';

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
  const flights = flightsOf(document, {
    notes,
    fittedOf: (recording) => fitted ?? (notes && fittedFor(recording, notes, computerZoneOffsetAt)),
    sunPosition,
    zoneOffsetAt: computerZoneOffsetAt,
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
  const names = recordings.flatMap(({ path: name, findings }) =>
    filterIsInDoubt({ findings }) ? displayText(path.posix.basename(name)) : [],
  );
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
