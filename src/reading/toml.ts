import { parse, TomlError } from 'smol-toml';
import { z } from 'zod';
import { displayText } from '../domain/displayText.ts';
import { HalfturnError } from '../domain/halfturnError.ts';

/** Parses TOML and holds it against a schema; every complaint names the file, the line, the key and what is allowed. */
export function parseTomlAs<T extends z.ZodType>(schema: T, text: string, file: string): z.output<T> {
  const given = parseToml(text, file);
  const result = schema.safeParse(given);
  if (result.success) return result.data;
  const issue = result.error.issues[0]!;
  const unknown = issue.code === 'unrecognized_keys' ? issue.keys.slice(0, 1) : [];
  const line = lineOf(text, [...issue.path, ...unknown]);
  const place = line === undefined ? file : `${file}, line ${line}`;
  throw new HalfturnError(`${place}: ${complaint(issue, schema, given)}.`);
}

function parseToml(text: string, file: string): unknown {
  try {
    return parse(text);
  } catch (error) {
    if (!(error instanceof TomlError)) throw error;
    const line = displayText(text.split('\n')[error.line - 1]?.trim() ?? '');
    const why = /redefin/.test(error.message) ? 'says something a second time' : 'cannot be understood';
    throw new HalfturnError(
      `${file}, line ${error.line}: ${line === '' ? 'the end of the file' : `"${line}"`} ${why}.`,
      'The file is TOML: a line is a [table], a [[filter]], key = value or # a comment; text stands in quotes.',
    );
  }
}

type Path = readonly PropertyKey[];

function complaint(issue: z.core.$ZodIssue, schema: z.ZodType, given: unknown): string {
  const key = keyName(issue.path);
  if (issue.code === 'custom') return `${key}: ${issue.message}`;
  const allowed = schemaAt(jsonSchema(schema), issue.path);
  if (issue.code === 'unrecognized_keys') {
    const unknown = issue.keys.map((name) => `"${displayText(name)}"`).join(', ');
    const keys = Object.keys(allowed?.properties ?? {}).join(', ');
    return `unknown key ${unknown} ${key === '' ? 'at the top' : `in ${key}`}; allowed there: ${keys}`;
  }
  const value = valueAt(given, issue.path);
  const instead = value === undefined ? 'is missing' : `is ${displayText(JSON.stringify(value))}`;
  return `${key} must be ${inWords(allowed, issue.path)}, but ${instead}`;
}

function keyName(path: Path): string {
  const parts = path.map((part) => (typeof part === 'number' ? `[${part + 1}]` : `.${String(part)}`));
  return parts.join('').replace(/^\./, '');
}

function valueAt(given: unknown, path: Path): unknown {
  return path.reduce<unknown>(
    (value, part) => (value as Record<PropertyKey, unknown> | undefined)?.[part],
    given,
  );
}

/** The part of JSON Schema in which settings and notes are declared. */
interface Allowed {
  readonly description?: string;
  readonly type?: string;
  readonly properties?: Readonly<Record<string, Allowed>>;
  readonly items?: Allowed;
  readonly prefixItems?: readonly Allowed[];
  readonly anyOf?: readonly Allowed[];
  readonly enum?: readonly unknown[];
  readonly const?: unknown;
  readonly minimum?: number;
  readonly exclusiveMinimum?: number;
  readonly maximum?: number;
}

function jsonSchema(schema: z.ZodType): Allowed {
  return z.toJSONSchema(schema, { io: 'input', unrepresentable: 'any' }) as Allowed;
}

function schemaAt(allowed: Allowed | undefined, [part, ...deeper]: Path): Allowed | undefined {
  if (part === undefined || allowed === undefined) return allowed;
  const next =
    typeof part === 'number'
      ? (allowed.prefixItems?.[part] ?? allowed.items)
      : allowed.properties?.[String(part)];
  return schemaAt(next, deeper);
}

function inWords(allowed: Allowed | undefined, path: Path): string {
  const name = String(path.at(-1));
  if (allowed === undefined) return 'something else';
  if (allowed.description !== undefined) return allowed.description;
  if (allowed.enum !== undefined)
    return `one of ${allowed.enum.map((each) => JSON.stringify(each)).join(', ')}`;
  if (allowed.const !== undefined) return JSON.stringify(allowed.const);
  if (allowed.anyOf !== undefined) return allowed.anyOf.map((each) => inWords(each, path)).join(' or ');
  if (allowed.prefixItems !== undefined)
    return `a list of ${allowed.prefixItems.length} numbers, such as [-0.7, 0]`;
  if (allowed.type === 'array')
    return allowed.items?.type === 'object'
      ? `written as [[${name}]], once for each`
      : 'a list, such as ["A", "B"]';
  if (allowed.type === 'object') return `a table, written as [${name}]`;
  if (allowed.type === 'boolean') return 'true or false';
  if (allowed.type === 'string') return 'text in quotes';
  return `a number${boundsInWords(allowed)}`;
}

function boundsInWords({ minimum, exclusiveMinimum, maximum }: Allowed): string {
  if (exclusiveMinimum !== undefined && maximum !== undefined)
    return ` above ${exclusiveMinimum} and at most ${maximum}`;
  return minimum === undefined || maximum === undefined ? '' : ` from ${minimum} to ${maximum}`;
}

/**
 * The line on which a key stands, counted from 1, or else the head of its table. Good enough for what a person writes by
 * hand: keys within braces and texts of several lines are not looked into.
 */
function lineOf(text: string, path: Path): number | undefined {
  const wanted = keyName(path);
  const counts = new Map<string, number>();
  let table = '';
  let head: number | undefined;
  for (const [at, line] of text.split('\n').entries()) {
    const [, array, name] = /^\s*\[(\[?)\s*([\w.-]+)\s*\]/.exec(line) ?? [];
    if (name !== undefined) {
      const count = (counts.get(name) ?? 0) + 1;
      counts.set(name, count);
      table = array === '' ? name : `${name}[${count}]`;
    }
    const [, key] = /^\s*"?([\w.-]+)"?\s*=/.exec(line) ?? [];
    const stands = key === undefined ? table : table === '' ? key : `${table}.${key}`;
    if (stands === '' || (key === undefined && name === undefined)) continue;
    if (wanted === stands) return at + 1;
    if (wanted.startsWith(`${stands}.`) || wanted.startsWith(`${stands}[`)) head = at + 1;
  }
  return head;
}
