// What JSON.stringify leaves as it is although a terminal or an editor would obey it: C1 controls, marks that turn
// the reading direction round, zero-width characters. JSON allows every character to be written as \uNNNN (RFC 8259
// section 7), so the value stays the same.
const obeyed = /[\u007f-\u009f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ufff9-\ufffb]/g;

/**
 * The document, or another plain value, as indented JSON with a line end. Throws where a number is not finite: JSON
 * would turn it into null, and a reader would take that for a value.
 */
export function jsonReport(document: object): string {
  const json = JSON.stringify(document, finiteOnly, 2);
  return `${json.replace(obeyed, (sign) => `\\u${sign.charCodeAt(0).toString(16).padStart(4, '0')}`)}\n`;
}

function finiteOnly(name: string, value: unknown): unknown {
  if (typeof value === 'number' && !Number.isFinite(value))
    throw new RangeError(`The document holds ${value} at "${name}"; an unknown number must be left out`);
  return value;
}
