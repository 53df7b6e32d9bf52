import { readFile } from 'node:fs/promises';
import { basename, dirname, join, resolve } from 'node:path';
import { TomlDate } from 'smol-toml';
import { z } from 'zod';
import { skies } from '../domain/daylight.ts';
import { displayText } from '../domain/displayText.ts';
import { parseFilterName } from '../domain/filter.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import { momentOf } from '../domain/localTime.ts';
import { ownedFilter, type KitFilter, type FittedFilter } from '../domain/filterKit.ts';
import type { FlightNotes } from './flightNotes.ts';
import { namedZone, zoneWish } from './timeZone.ts';
import { fileTrouble } from '../programs/fileTrouble.ts';
import { parseTomlAs } from './toml.ts';

/**
 * Finds and reads the notes of a flight: the file that was named, else flight.toml inside the dump, else beside it
 * <dump>.flight.toml, which other dumps in the same folder do not share, else flight.toml. Undefined where none was
 * named and there is none.
 */
export async function loadFlightNotes(
  dump: string,
  named: string | undefined,
  kit: readonly KitFilter[],
): Promise<FlightNotes | undefined> {
  const places =
    named === undefined
      ? [join(dump, 'flight.toml'), notesBeside(dump), join(dirname(withName(dump)), 'flight.toml')]
      : [named];
  for (const file of places) {
    const text = await readFile(file, 'utf8').catch((error: NodeJS.ErrnoException) => {
      // ENOTDIR: the dump is a single file.
      if (named === undefined && ['ENOENT', 'ENOTDIR'].includes(error.code ?? '')) return undefined;
      throw new HalfturnError(
        `The notes ${displayText(file)} could not be read: ${fileTrouble(error)}`,
        named === undefined
          ? 'Mend it or take it away, or name other notes with --notes.'
          : 'Check the path after --notes.',
      );
    });
    if (text === undefined) continue;
    return parseFlightNotes(text, displayText(file), kit);
  }
  return undefined;
}

/** @example notesBeside('cards/monday') // 'cards/monday.flight.toml' */
export function notesBeside(dump: string): string {
  const folder = withName(dump);
  return join(dirname(folder), `${basename(folder)}.flight.toml`);
}

/** Of "." and "..", neither says the name of the folder, nor what lies beside it. */
function withName(dump: string): string {
  return ['.', '..'].includes(basename(dump)) ? resolve(dump) : dump;
}

// An offset without a date says no moment: the day may be another one there.
const spanEnd = /^(?:(\d{4}-\d\d-\d\d)[T ])?(\d\d:\d\d)(:\d\d)?(?:\.\d+)?(Z|[+-]\d\d:\d\d)?$/;

function isSpanEnd(text: string): boolean {
  const [, date, time, seconds = '', offset] = spanEnd.exec(text) ?? [];
  if (time === undefined || (offset !== undefined && date === undefined)) return false;
  const recordedAt = `${date ?? '2000-01-01'}T${time}${seconds}${offset ?? 'Z'}`;
  return momentOf({ recordedAt, zoneOffsetAt: () => 0 }) !== undefined;
}

const spanEndSchema = z
  .union([z.string(), z.instanceof(TomlDate)])
  .describe('a time, such as 10:30:00')
  .transform((value) => (typeof value === 'string' ? value : value.toISOString()))
  .refine(isSpanEnd, {
    error:
      'must be a time by the clock at the place, such as 10:30:00 or 2026-05-14T10:30:00, or a date and time with its offset, such as 2026-05-14T10:30:00+02:00',
  });

const patternsSchema = z.union([
  z.string().transform((pattern) => [pattern]),
  z.array(z.string().min(1)).min(1),
]);

const fittedSchema = z.strictObject({
  filter: z.string().min(1),
  files: patternsSchema.optional(),
  from: spanEndSchema.optional(),
  to: spanEndSchema.optional(),
});

/** A name of the IANA time zone database: a longitude alone knows no summer time. */
export const zoneSchema = z.string().refine((name) => namedZone(name) !== undefined, { error: zoneWish });

const notesSchema = z.strictObject({
  place: z.string().optional(),
  latitude: z.number().min(-90).max(90).optional(),
  longitude: z.number().min(-180).max(180).optional(),
  sky: z.enum(skies).optional(),
  zone: zoneSchema.optional(),
  fitted: z.array(fittedSchema).optional(),
  timelapse: patternsSchema.optional(),
});

/** Reads notes. An unknown key, a bad value or an unknown filter is an error that says what is allowed. */
export function parseFlightNotes(text: string, file: string, kit: readonly KitFilter[]): FlightNotes {
  const notes = parseTomlAs(notesSchema, text, file);
  const { fitted = [], place, latitude, longitude, sky, timelapse } = notes;
  if ((latitude === undefined) !== (longitude === undefined))
    throw new HalfturnError(
      `${file}: latitude and longitude must be given together`,
      'Give both or neither.',
    );
  return {
    file,
    text,
    place,
    latitude,
    longitude,
    sky,
    zone: notes.zone === undefined ? undefined : namedZone(notes.zone),
    timeLapse: timelapse,
    fitted: fitted.map(({ filter, files, from, to }, at) => ({
      filter: resolveFilter(filter, kit, `${file}: fitted[${at + 1}].filter`),
      files,
      from,
      to,
    })),
  };
}

function resolveFilter(name: string, kit: readonly KitFilter[], place: string): FittedFilter {
  const owned = ownedFilter(name, kit);
  if (owned !== undefined && 'uncountable' in owned)
    throw new HalfturnError(`${place}: "${displayText(name)}" cannot be counted: ${owned.uncountable}`);
  const filter = owned ?? parseFilterName(name);
  if (filter !== undefined) return { ...filter, source: 'notes' };
  const labels = kit.map(({ label }) => label).join(', ');
  throw new HalfturnError(
    `${place}: "${displayText(name)}" is not a filter that is known`,
    `Allowed: ${labels === '' ? '' : `a label of the kit (${labels}), `}a factor such as ND16, a density such as D1.2, or none.`,
  );
}
