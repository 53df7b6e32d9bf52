import { displayText } from '../../domain/displayText.ts';
import { textWidth } from '../textWidth.ts';

/** Columns side by side, the first to the left and the others to the right, with two blanks between them. */
export function plainTable(rows: readonly (readonly string[])[]): string {
  const shown = rows.map((row) => row.map(displayText));
  const count = Math.max(0, ...shown.map((row) => row.length));
  const widths = Array.from({ length: count }, (_, at) =>
    Math.max(...shown.map((row) => textWidth(row[at] ?? ''))),
  );
  return shown.map((row) => `${line(row, widths)}\n`).join('');
}

function line(row: readonly string[], widths: readonly number[]): string {
  return row
    .map((cell, at) => {
      const blank = ' '.repeat(widths[at]! - textWidth(cell));
      return at === 0 ? cell + blank : blank + cell;
    })
    .join('  ')
    .trimEnd();
}
