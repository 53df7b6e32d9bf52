import { isDeepStrictEqual } from 'node:util';
import { parse } from 'smol-toml';

/*
 * Settings are edited as text, so that comments and the order of keys stay. What comes out is parsed and held against
 * what was there: where a file is written in a form that this does not know, nothing is changed.
 */

type Value = string | number | boolean | readonly number[];

/** The text with one more `[[filter]]` at its end; undefined where the file does not take one there. */
export function withFilter(
  text: string,
  filter: Readonly<Record<string, Value | undefined>>,
): string | undefined {
  const given = Object.entries(filter).filter((entry): entry is [string, Value] => entry[1] !== undefined);
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
  const { filter: changed = [], ...kept } = now;
  return (
    isDeepStrictEqual(plain(changed), plain(change(old))) && isDeepStrictEqual(plain(kept), plain(others))
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

function tomlValue(value: Value): string {
  return typeof value === 'object' ? `[${value.join(', ')}]` : JSON.stringify(value);
}
