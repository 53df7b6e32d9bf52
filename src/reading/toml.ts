import { parse, TomlError } from 'smol-toml';
import { z } from 'zod';
import { displayText } from '../domain/displayText.ts';
import { HalfturnError } from '../domain/halfturnError.ts';

/** Parses TOML and holds it against a schema; every complaint names the file and the line or key. */
export function parseTomlAs<T extends z.ZodType>(schema: T, text: string, file: string): z.output<T> {
  const result = schema.safeParse(parseToml(text, file));
  if (result.success) return result.data;
  const [issue] = result.error.issues;
  throw new HalfturnError(`${file}: ${complaint(issue, schema)}.`);
}

function parseToml(text: string, file: string): unknown {
  try {
    return parse(text);
  } catch (error) {
    if (!(error instanceof TomlError)) throw error;
    const [reason] = error.message.split('\n');
    throw new HalfturnError(
      `${file}, line ${error.line}: ${displayText(reason ?? '')}.`,
      'The file must be TOML.',
    );
  }
}

function complaint(issue: z.core.$ZodIssue | undefined, schema: z.ZodType): string {
  if (issue === undefined) return 'not understood';
  const key = keyName(issue.path);
  if (issue.code !== 'unrecognized_keys') return `${key}: ${issue.message}`;
  const unknown = issue.keys.map((name) => `"${displayText(name)}"`).join(', ');
  return `unknown key ${unknown} ${key === '' ? 'at the top' : `in ${key}`}; allowed there: ${keysAt(schema, issue.path).join(', ')}`;
}

function keyName(path: readonly PropertyKey[]): string {
  const parts = path.map((part) => (typeof part === 'number' ? `[${part + 1}]` : `.${String(part)}`));
  return parts.join('').replace(/^\./, '');
}

function keysAt(schema: z.ZodType, path: readonly PropertyKey[]): string[] {
  const bare = schema instanceof z.ZodOptional ? (schema.unwrap() as z.ZodType) : schema;
  if (bare instanceof z.ZodArray) return keysAt(bare.element as z.ZodType, path.slice(1));
  if (!(bare instanceof z.ZodObject)) return [];
  const [next, ...deeper] = path;
  if (next === undefined) return Object.keys(bare.shape);
  return keysAt(bare.shape[String(next)] as z.ZodType, deeper);
}
