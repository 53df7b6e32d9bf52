import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { expect, test } from 'vitest';

// Runs every `@example expression // literal` of the doc comments in src, with the exports of its own module in scope.
const source = path.resolve(import.meta.dirname, '../src');

interface Example {
  readonly file: string;
  readonly line: number;
  readonly expression: string;
  readonly literal: string;
}

const files = readdirSync(source, { recursive: true, encoding: 'utf8' }).filter((file) =>
  /\.tsx?$/.test(file),
);
const examples = files.flatMap(examplesIn);

function examplesIn(file: string): readonly Example[] {
  return readFileSync(path.join(source, file), 'utf8')
    .split('\n')
    .flatMap((text, index) => {
      const example = /^\s*\/?\*+\s*@example\s+(.*?)(?:\s*\*\/)?\s*$/.exec(text)?.[1];
      if (example === undefined) return [];
      const split = example.lastIndexOf(' // ');
      return {
        file,
        line: index + 1,
        expression: split < 0 ? '' : example.slice(0, split),
        literal: split < 0 ? example : example.slice(split + 4),
      };
    });
}

/** Half a unit of the last digit written; whole numbers are meant exactly. */
function toleranceOf(digits: string): number {
  const [mantissa = '', exponent = '0'] = digits.toLowerCase().split('e');
  const decimals = mantissa.split('.')[1]?.length ?? 0;
  return decimals === 0
    ? 1e-9 * Math.max(1, Math.abs(Number(digits)))
    : 0.500001 * 10 ** (Number(exponent) - decimals);
}

function matches(actual: unknown, expected: unknown, digits = String(expected)): boolean {
  if (typeof expected === 'number')
    return typeof actual === 'number' && Math.abs(actual - expected) <= toleranceOf(digits);
  if (typeof expected !== 'object' || expected === null) return Object.is(actual, expected);
  if (typeof actual !== 'object' || actual === null) return false;
  if (Array.isArray(expected) !== Array.isArray(actual)) return false;
  const wanted = Object.entries(expected);
  return (
    Object.values(actual).filter((value) => value !== undefined).length === wanted.length &&
    wanted.every(([key, value]) => matches((actual as Record<string, unknown>)[key], value))
  );
}

function evaluate(expression: string, scope: Readonly<Record<string, unknown>>): unknown {
  const names = Object.keys(scope).filter((name) => name !== 'default');
  // oxlint-disable-next-line typescript/no-implied-eval -- the expressions are this repository's own doc comments
  const run = new Function(...names, `'use strict'; return (${expression});`) as (
    ...values: unknown[]
  ) => unknown;
  return run(...names.map((name) => scope[name]));
}

test.each(examples)('$file:$line $expression is $literal', async ({ file, expression, literal }) => {
  expect(expression, 'an example reads `expression // literal`').not.toBe('');
  const scope = (await import(path.join(source, file))) as Record<string, unknown>;
  const actual = await evaluate(expression, scope);
  const numeric = /^-?[\d.]+(?:e[+-]?\d+)?$/i.test(literal);
  const expected = evaluate(literal, {});
  expect(matches(actual, expected, numeric ? literal : undefined), `it is ${JSON.stringify(actual)}`).toBe(
    true,
  );
});

test('every documented function of the domain has an example', () => {
  const undocumented = files
    .filter((file) => file.startsWith(`domain${path.sep}`))
    .flatMap((file) => {
      const text = readFileSync(path.join(source, file), 'utf8');
      const functions = text.matchAll(
        /\/\*\*((?:(?!\*\/)[\s\S])*)\*\/\s*export (?:async )?(?:function\s+(\w+)|const\s+(\w+)[^=\n]*= (?:async )?\()/g,
      );
      return [...functions]
        .filter((match) => !match[1]?.includes('@example'))
        .map((match) => `${file}: ${match[2] ?? match[3]}`);
    });
  expect(undocumented).toEqual([]);
  console.log(`${examples.length} documented examples were run`);
  expect(examples.length).toBeGreaterThan(30);
});

test('a wrong digit, a missing key and a rounded whole number are noticed', () => {
  expect(matches(172.8, 172.9, '172.9')).toBe(false);
  expect(matches(172.84, 172.8, '172.8')).toBe(true);
  expect(matches(2.4, 2, '2')).toBe(false);
  expect(matches({ a: 1, b: 2 }, { a: 1 })).toBe(false);
  expect(matches(undefined, 0, '0')).toBe(false);
});
