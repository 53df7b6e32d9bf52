/** An independent reader of RFC 4180: rows of cells, quotes undone, CRLF line ends required, a byte order mark passed over. */
export function csvRows(text: string): string[][] {
  const rows: string[][] = [[]];
  const cell = /("(?:[^"]|"")*"|[^",\r\n]*)(,|\r\n|$)/gy;
  if (text.startsWith('\ufeff')) cell.lastIndex = 1;
  while (cell.lastIndex < text.length) {
    const match = cell.exec(text);
    if (match === null) throw new Error('not RFC 4180');
    const [, raw = '', end] = match;
    rows.at(-1)?.push(raw.startsWith('"') ? raw.slice(1, -1).replaceAll('""', '"') : raw);
    if (end === '\r\n' && cell.lastIndex < text.length) rows.push([]);
  }
  return rows;
}
