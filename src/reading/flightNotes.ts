import { readFile } from 'node:fs/promises';
import { basename, dirname, join, resolve } from 'node:path';
import { TomlDate } from 'smol-toml';
import { z } from 'zod';
import { displayText } from '../domain/displayText.ts';
import { parseFilterName } from '../domain/filter.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import { ownedFilter, type FittedFilter, type KitFilter } from '../domain/kit.ts';
import type { Recording } from '../domain/recording.ts';
import { parseTomlAs } from './toml.ts';
import { isBetween, wallClock } from './wallClock.ts';

export interface FlightNotes {
  readonly file: string;
  readonly place?: string;
  /** Degrees, + = north. */
  readonly latitude?: number;
  /** Degrees, + = east. */
  readonly longitude?: number;
  readonly sky?: 'clear' | 'haze' | 'cloud' | 'overcast';
  readonly fitted: readonly FittedNote[];
}

interface FittedNote {
  readonly filter: FittedFilter;
  /** Patterns of file names, or of paths where they hold a "/". */
  readonly files?: readonly string[];
  /** Local date and time, or time of day, of the first and last moment. */
  readonly from?: string;
  readonly to?: string;
}

const sky = ['clear', 'haze', 'cloud', 'overcast'] as const;
const localTime = /^(\d{4}-\d\d-\d\d[T ])?\d\d:\d\d(:\d\d(\.\d+)?)?$/;

const momentSchema = z
  .union([z.string(), z.instanceof(TomlDate)])
  .transform((value) =>
    typeof value === 'string' ? value : value.isLocal() || value.isTime() ? value.toISOString() : '',
  )
  .refine((text) => localTime.test(text), {
    error: 'must be a local time such as 10:30:00 or 2026-05-14T10:30:00, without a time zone',
  });

const fittedSchema = z.strictObject({
  filter: z.string().min(1),
  files: z.union([z.string().transform((one) => [one]), z.array(z.string().min(1)).min(1)]).optional(),
  from: momentSchema.optional(),
  to: momentSchema.optional(),
});

const notesSchema = z.strictObject({
  place: z.string().optional(),
  latitude: z.number().min(-90).max(90).optional(),
  longitude: z.number().min(-180).max(180).optional(),
  sky: z.enum(sky).optional(),
  fitted: z.array(fittedSchema).optional(),
});

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
      ? [join(dump, 'flight.toml'), notesBeside(dump), join(dirname(dump), 'flight.toml')]
      : [named];
  for (const file of places) {
    const text = await readFile(file, 'utf8').catch((error: NodeJS.ErrnoException) => {
      // ENOTDIR: the dump is a single file.
      if (named === undefined && ['ENOENT', 'ENOTDIR'].includes(error.code ?? '')) return undefined;
      throw new HalfturnError(
        `The notes ${displayText(file)} could not be read (${error.code ?? error.message})`,
        'Check the path and that you may read the file.',
      );
    });
    if (text !== undefined) return parseFlightNotes(text, displayText(file), kit);
  }
  return undefined;
}

/** @example notesBeside('cards/monday') // 'cards/monday.flight.toml' */
export function notesBeside(dump: string): string {
  // Of "." and "..", neither says the name of the folder.
  const plain = ['.', '..'].includes(basename(dump)) ? resolve(dump) : dump;
  return join(dirname(plain), `${basename(plain)}.flight.toml`);
}

/** Reads notes. An unknown key, a bad value or an unknown filter is an error that says what is allowed. */
export function parseFlightNotes(text: string, file: string, kit: readonly KitFilter[]): FlightNotes {
  const { fitted = [], place, latitude, longitude, ...rest } = parseTomlAs(notesSchema, text, file);
  if ((latitude === undefined) !== (longitude === undefined)) {
    throw new HalfturnError(
      `${file}: latitude and longitude must be given together`,
      'Give both or neither.',
    );
  }
  return {
    file,
    ...(place === undefined ? {} : { place }),
    ...(latitude === undefined || longitude === undefined ? {} : { latitude, longitude }),
    ...(rest.sky === undefined ? {} : { sky: rest.sky }),
    fitted: fitted.map(({ filter, files, from, to }, at) => ({
      filter: resolveFilter(filter, kit, `${file}: fitted[${at + 1}].filter`),
      ...(files === undefined ? {} : { files }),
      ...(from === undefined ? {} : { from }),
      ...(to === undefined ? {} : { to }),
    })),
  };
}

/** The filter that the notes say was fitted for a recording: that of the first entry that fits it. */
export function fittedFor(
  recording: Pick<Recording, 'path' | 'facts'>,
  notes: FlightNotes,
): FittedFilter | undefined {
  return notes.fitted.find((note) => namesIt(note, recording.path) && wasThen(note, recording))?.filter;
}

function namesIt({ files }: FittedNote, path: string): boolean {
  if (files === undefined) return true;
  const name = path.slice(path.lastIndexOf('/') + 1);
  return files.some((pattern) => globPattern(pattern).test(pattern.includes('/') ? path : name));
}

/** "*" and "?" within a name, "**" across folders; letters in either case, as on a card. */
function globPattern(glob: string): RegExp {
  const parts = glob.match(/\*\*\/?|\*|\?|[^*?]+/g) ?? [];
  const pattern = parts.map((part) => {
    if (part.startsWith('**')) return '.*';
    if (part === '*') return '[^/]*';
    return part === '?' ? '[^/]' : part.replace(/[\\^$.|+()[\]{}]/g, '\\$&');
  });
  return new RegExp(`^${pattern.join('')}$`, 'i');
}

function wasThen({ from, to }: FittedNote, { facts }: Pick<Recording, 'facts'>): boolean {
  if (from === undefined && to === undefined) return true;
  const clock = facts.recordedAt === undefined ? undefined : wallClock(facts.recordedAt.value);
  return clock !== undefined && isBetween(clock, from, to);
}

function resolveFilter(name: string, kit: readonly KitFilter[], place: string): FittedFilter {
  const owned = ownedFilter(name, kit);
  if (owned !== undefined && 'uncountable' in owned)
    throw new HalfturnError(`${place}: "${displayText(name)}" cannot be counted: ${owned.uncountable}`);
  const found = owned ?? parseFilterName(name);
  if (found !== undefined) return { ...found, source: 'notes' };
  const labels = kit.map(({ label }) => label).join(', ');
  throw new HalfturnError(
    `${place}: "${displayText(name)}" is not a filter that is known`,
    `Allowed: ${labels === '' ? '' : `a label of the kit (${labels}), `}a factor such as ND16, a density such as D1.2, or none.`,
  );
}
