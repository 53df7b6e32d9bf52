import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import * as exposure from '../../src/domain/exposure.ts';
import * as stops from '../../src/domain/exposure.ts';
import * as filter from '../../src/domain/filter.ts';
import * as frameRate from '../../src/domain/frameRate.ts';
import * as shutter from '../../src/domain/shutter.ts';
import * as timecode from '../../src/domain/timecode.ts';

// Runs every table of published values. A string such as "1/50" in an input is that ratio.
interface Table {
  readonly call: string;
  readonly source: string;
  readonly place: string;
  readonly mark: string;
  readonly tolerance: number;
  readonly toleranceReason: string;
  readonly rows: readonly { readonly input: unknown; readonly expected: unknown }[];
  /** Published values that are known to be wrong. */
  readonly refused?: readonly { readonly input: unknown; readonly wrong: unknown; readonly reason: string }[];
}

const folder = path.join(import.meta.dirname, 'published');
const functions: Readonly<Record<string, unknown>> = {
  ...exposure,
  ...filter,
  ...frameRate,
  ...shutter,
  ...stops,
  ...timecode,
};
const tables = readdirSync(folder)
  .map((file) => [file, JSON.parse(readFileSync(path.join(folder, file), 'utf8')) as Table] as const)
  .filter(([, { call }]) => call in functions);

function numeric(value: unknown): unknown {
  const ratio = typeof value === 'string' ? /^(\d+)\/([\d.]+)$/.exec(value) : null;
  if (ratio) return Number(ratio[1]) / Number(ratio[2]);
  if (typeof value !== 'object' || value === null) return value;
  if (Array.isArray(value)) return value.map(numeric);
  return Object.fromEntries(Object.entries(value).map(([key, part]) => [key, numeric(part)]));
}

function agrees(actual: unknown, expected: unknown, tolerance: number): boolean {
  if (typeof expected === 'number')
    return typeof actual === 'number' && Math.abs(actual - expected) <= tolerance + 1e-12;
  if (typeof expected !== 'object' || expected === null) return actual === expected;
  if (typeof actual !== 'object' || actual === null) return false;
  return Object.entries(expected).every(([key, value]) =>
    agrees((actual as Record<string, unknown>)[key], value, tolerance),
  );
}

describe.each(tables)('%s', (_file, table) => {
  const call = functions[table.call] as (input: unknown) => unknown;

  test(`names its source, place, mark and the reason of its tolerance (${table.call})`, () => {
    for (const text of [table.source, table.place, table.mark, table.toleranceReason])
      expect(text).toMatch(/\w/);
    expect(table.rows.length).toBeGreaterThan(0);
  });

  test.each(table.rows)(`${table.call}($input) is $expected`, ({ input, expected }) => {
    const actual = call(numeric(input));
    expect(agrees(actual, numeric(expected), table.tolerance), `it is ${JSON.stringify(actual)}`).toBe(true);
  });

  if (table.refused)
    test.each(table.refused)(`${table.call}($input) is not $wrong`, ({ input, wrong, reason }) => {
      const tolerance = Math.max(table.tolerance, 0.01);
      expect(agrees(call(numeric(input)), numeric(wrong), tolerance), reason).toBe(false);
    });
});

test('no row was dropped on the way', () => {
  const rows = tables.reduce((sum, [, table]) => sum + table.rows.length + (table.refused?.length ?? 0), 0);
  expect([tables.length, rows]).toEqual([20, 681]);
});
