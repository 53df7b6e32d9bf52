/** A text that is handed over in pieces, as a file would hold it. */
export function wholeText(pieces: Iterable<string>): string {
  return [...pieces].join('');
}
