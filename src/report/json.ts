import type { AuditDocument } from '../document/auditDocument.ts';

// What JSON.stringify leaves as it is although a terminal or an editor would obey it: C1 controls, marks that turn
// the reading direction round, zero-width characters. JSON allows every character to be written as \uNNNN (RFC 8259
// section 7), so the value stays the same.
const obeyed = /[\u007f-\u009f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ufff9-\ufffb]/g;

/** Makes the JSON of one value piece by piece; every line after the first begins with the margin. */
type JsonPieces = (margin: string) => Generator<string>;

/**
 * The document as indented JSON with a line end, piece by piece: that of a long flight is too large to be held whole.
 * Throws where a number is not finite: JSON would turn it into null, and a reader would take that for a value.
 */
export function jsonReport(document: AuditDocument): Generator<string> {
  const entries = Object.entries(document).map(([name, entry]: [string, unknown]) => [
    name,
    Array.isArray(entry) ? listOf(entry) : entry,
  ]);
  return jsonInPieces(objectOf(Object.fromEntries(entries)));
}

/** JSON with a line end, with the same promises. */
export function* jsonInPieces(whole: JsonPieces): Generator<string> {
  yield* whole('');
  yield '\n';
}

/** An object whose entries are plain values or come in pieces themselves; what is undefined is left out. */
export function objectOf(entries: Readonly<Record<string, unknown>>): JsonPieces {
  return function* (margin) {
    let before = '{';
    for (const [name, entry] of Object.entries(entries)) {
      if (entry === undefined) continue;
      yield `${before}\n${margin}  ${JSON.stringify(name)}: `;
      yield* piecesOf(entry, `${margin}  `);
      before = ',';
    }
    yield before === '{' ? '{}' : `\n${margin}}`;
  };
}

/** A list whose entries are asked for one at a time. */
export function listOf(entries: Iterable<unknown>): JsonPieces {
  return function* (margin) {
    let before = '[';
    for (const entry of entries) {
      yield `${before}\n${margin}  `;
      yield* piecesOf(entry, `${margin}  `);
      before = ',';
    }
    yield before === '[' ? '[]' : `\n${margin}]`;
  };
}

function* piecesOf(value: unknown, margin: string): Generator<string> {
  if (typeof value === 'function') yield* (value as JsonPieces)(margin);
  else yield indented(value, margin);
}

/** Text in JSON holds no line ends of its own, so every line end begins a line of the layout. */
function indented(value: unknown, margin: string): string {
  return safeJson(value).replaceAll('\n', `\n${margin}`);
}

function safeJson(value: unknown): string {
  return JSON.stringify(value, finiteOnly, 2).replace(obeyed, unicodeEscape);
}

function finiteOnly(name: string, value: unknown): unknown {
  if (typeof value === 'number' && !Number.isFinite(value)) {
    throw new RangeError(`The document holds ${value} at "${name}"; an unknown number must be left out`);
  }
  return value;
}

function unicodeEscape(character: string): string {
  return `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`;
}
