import type { AuditDocument } from '../domain/report.ts';

// What JSON.stringify leaves as it is although a terminal or an editor would obey it: C1 controls, marks that turn
// the reading direction round, zero-width characters. JSON allows every character to be written as \uNNNN (RFC 8259
// section 7), so the value stays the same.
const obeyed = /[\u007f-\u009f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ufff9-\ufffb]/g;

/**
 * The document as indented JSON with a line end, piece by piece: that of a long flight is too large to be held whole.
 * Throws where a number is not finite: JSON would turn it into null, and a reader would take that for a value.
 */
export function* jsonReport(document: AuditDocument): Generator<string> {
  let before = '{';
  for (const [name, entry] of Object.entries(document)) {
    if (entry === undefined) continue;
    yield `${before}\n  ${JSON.stringify(name)}: `;
    yield* Array.isArray(entry) && entry.length > 0 ? listInPieces(entry) : [indented(entry, '  ')];
    before = ',';
  }
  yield '\n}\n';
}

function* listInPieces(list: readonly unknown[]): Generator<string> {
  for (const [at, entry] of list.entries()) yield `${at === 0 ? '[' : ','}\n    ${indented(entry, '    ')}`;
  yield '\n  ]';
}

/** Text in JSON holds no line ends of its own, so every line end begins a line of the layout. */
function indented(value: unknown, margin: string): string {
  return safeJson(value).replaceAll('\n', `\n${margin}`);
}

/** Any plain value as JSON that is safe to print, with the same promises. */
export function jsonText(value: object): string {
  return `${safeJson(value)}\n`;
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
