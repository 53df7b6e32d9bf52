import { isDeepStrictEqual } from 'node:util';
import { parse } from 'smol-toml';
import { z } from 'zod';
import { factorFromStops, polariserStops, stopsFromDensity, stopsFromFactor } from '../domain/filter.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import type { KitFilter } from '../domain/filterKit.ts';

const kinds = ['nd', 'polariser', 'variable', 'graduated'] as const;

/** What a filter may be, in the settings and on the command line; wide enough for any that is sold. */
export const filterBounds = {
  stops: { least: 0, most: 30 },
  factor: { least: 1, most: 1e9 },
  density: { least: 0, most: 9 },
  polariserStops: { least: 0, most: 4 },
} as const;

const bounded = ({ least, most }: { readonly least: number; readonly most: number }) =>
  z.number().min(least).max(most);
const stops = bounded(filterBounds.stops);

const filterKeys = z.strictObject({
  label: z.string().min(1),
  kind: z.enum(kinds).optional(),
  stops: stops.optional(),
  factor: bounded(filterBounds.factor).optional(),
  density: bounded(filterBounds.density).optional(),
  stopsRange: z.tuple([stops, stops]).optional(),
  polariser: z.boolean().optional(),
  polariserStops: bounded(filterBounds.polariserStops).optional(),
});
type GivenFilter = z.output<typeof filterKeys>;

/** One `[[filter]]` of the settings. Its kind follows from the keys; only a graduated filter must say it. */
export const filterSchema = filterKeys.superRefine((given, context) => {
  const message = strengthFault(given);
  if (message !== undefined) context.addIssue({ code: 'custom', message });
});

/** What is wrong with how a filter's strength is given; undefined where nothing is. */
export function strengthFault(given: GivenFilter): string | undefined {
  const { kind, stops: asStops, factor, density, stopsRange } = given;
  const strengths = [asStops, factor, density].filter((strength) => strength !== undefined).length;
  if (stopsRange !== undefined) {
    if (strengths > 0) return 'give stopsRange or one of stops, factor, density, not both';
    if (kind !== undefined && kind !== 'variable') return 'stopsRange belongs to a variable filter';
    return stopsRange[0] < stopsRange[1] ? undefined : 'stopsRange must rise, like stopsRange = [2, 5]';
  }
  if (kind === 'variable') return 'a variable filter needs its range, like stopsRange = [2, 5]';
  if (strengths === 1) return undefined;
  const mayLackStrength = kind === 'graduated' || isBarePolariser(given);
  return mayLackStrength && strengths === 0 ? undefined : 'give exactly one of stops, factor, density';
}

/** A polariser without an ND: its loss is its whole strength. */
function isBarePolariser({ kind, polariser }: GivenFilter): boolean {
  return kind === 'polariser' || (kind === undefined && polariser === true);
}

export function kitOf(given: readonly GivenFilter[], file: string): readonly KitFilter[] {
  const kit = given.map(kitFilter);
  const labels = new Set<string>();
  for (const { label } of kit) {
    if (labels.has(label.toLowerCase()))
      throw new HalfturnError(
        `${file}: two filters are called "${label}".`,
        'Give each filter its own label.',
      );
    labels.add(label.toLowerCase());
  }
  return kit;
}

/** Of a loss that may be anything from 1 to 2 stops, the standard deviation of a uniform distribution. */
const polariserSpreadStops = (polariserStops.high - polariserStops.low) / Math.sqrt(12);

function kitFilter(given: GivenFilter): KitFilter {
  const { label, kind, stopsRange, polariser } = given;
  if (kind === 'graduated') return { label, stops: nominalStops(given) ?? 0, graduated: true };
  if (stopsRange !== undefined)
    return { label, stops: stopsRange[0], rangeStops: stopsRange, polariser: true };
  const nominal = nominalStops(given);
  const assumed = nominal === undefined && given.polariserStops === undefined;
  const loss = given.polariserStops ?? (assumed ? polariserStops.typical : 0);
  const polarises = polariser === true || given.polariserStops !== undefined || kind === 'polariser';
  return {
    label,
    stops: (nominal ?? 0) + loss,
    polariser: polarises ? true : undefined,
    spreadStops: assumed ? polariserSpreadStops : undefined,
  };
}

/** The strength that a filter is given; undefined where none is. */
export function nominalStops({ stops: asStops, factor, density }: GivenFilter): number | undefined {
  if (asStops !== undefined) return asStops;
  if (factor !== undefined) return stopsFromFactor(factor);
  return density === undefined ? undefined : stopsFromDensity(density);
}

/*
 * Settings are edited as text, so that comments and the order of keys stay. What comes out is parsed and held against
 * what was there: where a file is written in a form that this does not know, nothing is changed.
 */

type TomlValue = string | number | boolean | readonly number[];

/** A filter whose label says its strength, as it stands in the settings. */
export function tradeFilter(label: string, stops: number) {
  return { label, factor: Number(factorFromStops(stops).toPrecision(6)) };
}

/** The text with one more `[[filter]]` at its end; undefined where the file does not take one there. */
export function withFilter(
  text: string,
  filter: Readonly<Record<string, TomlValue | undefined>>,
): string | undefined {
  const given = Object.entries(filter).filter(
    (entry): entry is [string, TomlValue] => entry[1] !== undefined,
  );
  const lines = given.map(([key, value]) => `${key} = ${tomlValue(value)}`);
  const before = text === '' ? '' : `${text.trimEnd()}\n\n`;
  const after = `${before}[[filter]]\n${lines.join('\n')}\n`;
  return changesFilters(text, after, (filters) => [...filters, Object.fromEntries(given)])
    ? after
    : undefined;
}

/** The text without the filter of that place, counted from 0; undefined where it cannot be cut out. */
export function withoutFilter(text: string, index: number): string | undefined {
  const lines = text.split('\n');
  const starts = lines.flatMap((line, at) => (/^\s*\[\[\s*filter\s*\]\]/.test(line) ? [at] : []));
  const start = starts[index];
  if (start === undefined) return undefined;
  const next = lines.findIndex((line, at) => at > start && /^\s*\[/.test(line));
  const end = lastKeyLine(lines, start, next === -1 ? lines.length : next);
  const follows = lines[end + 1]?.trim() === '' ? 2 : 1;
  const after = [...lines.slice(0, start), ...lines.slice(end + follows)].join('\n');
  return changesFilters(text, after, (filters) => filters.toSpliced(index, 1)) ? after : undefined;
}

/** Comments after the last key belong to what follows. */
function lastKeyLine(lines: readonly string[], start: number, next: number): number {
  for (let at = next - 1; at > start; at -= 1) if (!/^\s*(?:#|$)/.test(lines[at]!)) return at;
  return start;
}

function changesFilters(
  before: string,
  after: string,
  change: (filters: readonly unknown[]) => readonly unknown[],
): boolean {
  const { filter: old = [], ...others } = parse(before);
  const now = tryParse(after);
  if (!now || !Array.isArray(old)) return false;
  const { filter: changed = [], ...unchanged } = now;
  return (
    isDeepStrictEqual(plain(changed), plain(change(old))) &&
    isDeepStrictEqual(plain(unchanged), plain(others))
  );
}

function tryParse(text: string): Record<string, unknown> | undefined {
  try {
    return parse(text);
  } catch {
    return undefined;
  }
}

function plain(value: unknown): unknown {
  return JSON.parse(JSON.stringify(value));
}

function tomlValue(value: TomlValue): string {
  return typeof value === 'object' ? `[${value.join(', ')}]` : JSON.stringify(value);
}
