/** How wide and how colourful a stream may be written to: 100 columns and plain where it is not a terminal. */
export function outputStyle(stream: NodeJS.WriteStream): { columns: number; colour: boolean } {
  const plain = (process.env['NO_COLOR'] ?? '') !== '' || process.env['TERM'] === 'dumb';
  return { columns: stream.columns ?? 100, colour: stream.isTTY === true && !plain };
}
