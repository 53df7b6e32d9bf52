// C0 and C1 controls, and the characters that change the direction of what stands beside them
// (Unicode Standard Annex 9: marks, embeddings, overrides, isolates), line and paragraph separators,
// zero-width characters, and the byte order mark.
const unprintable =
  // oxlint-disable-next-line no-control-regex
  /[\u0000-\u001f\u007f-\u009f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ufff9-\ufffb]|[\ud800-\udfff]/gu;

/**
 * Text that is safe to print: what a terminal would obey, and what would turn the reading direction round, is
 * written as `\xNN`, byte by byte in UTF-8; so are bytes that are not UTF-8. Everything else is kept.
 * @example displayText('CLIP\u001b[2J.MP4') // 'CLIP\\x1b[2J.MP4'
 */
export function displayText(text: string | Uint8Array): string {
  return typeof text === 'string' ? escapeUnprintable(text) : displayBytes(text);
}

/**
 * The same plain value with every text in it made safe to print, keys included: a report that starts with this
 * cannot forget one.
 * @example displayable({ dump: 'card\u001b[2J' }) // { dump: 'card\\x1b[2J' }
 */
export function displayable<T>(value: T): T {
  return printable(value) as T;
}

function printable(value: unknown): unknown {
  if (typeof value === 'string') return displayText(value);
  if (Array.isArray(value)) return value.map(printable);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value).map(([name, entry]) => [displayText(name), printable(entry)]),
  );
}

function escapeUnprintable(text: string): string {
  return text.replace(unprintable, (character) => hexBytes(new TextEncoder().encode(character)));
}

function displayBytes(bytes: Uint8Array): string {
  let shown = '';
  for (let at = 0; at < bytes.length;) {
    const length = utf8Length(bytes, at);
    const part = bytes.subarray(at, at + Math.max(length, 1));
    shown +=
      length === 0
        ? hexBytes(part)
        : escapeUnprintable(new TextDecoder('utf-8', { ignoreBOM: true }).decode(part));
    at += part.length;
  }
  return shown;
}

/** Length of the well-formed UTF-8 sequence at `at`, 0 where there is none. */
function utf8Length(bytes: Uint8Array, at: number): number {
  const first = bytes[at] ?? 0;
  if (first < 0x80) return 1;
  const length = first >= 0xf0 ? 4 : first >= 0xe0 ? 3 : first >= 0xc2 ? 2 : 0;
  if (length === 0 || at + length > bytes.length) return 0;
  try {
    new TextDecoder('utf-8', { fatal: true }).decode(bytes.subarray(at, at + length));
    return length;
  } catch {
    return 0;
  }
}

function hexBytes(bytes: Uint8Array): string {
  return Array.from(bytes, (byte) => `\\x${byte.toString(16).padStart(2, '0')}`).join('');
}
