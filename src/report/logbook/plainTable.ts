import { displayText } from '../../domain/displayText.ts';
import { textWidth } from '../textWidth.ts';

/** A number in any of the notations here, alone or with words behind it; or that there is none. */
const numeric = /^[<>≈+−]*\d|^·?$/;

/** Columns side by side with two blanks between them: numbers to the right, names and words to the left. */
export function plainTable(rows: readonly (readonly string[])[]): string {
  const shown = rows.map((row) => row.map(displayText));
  const count = Math.max(0, ...shown.map((row) => row.length));
  const columns = Array.from({ length: count }, (_, at) => {
    const cells = shown.map((row) => row[at] ?? '');
    const isNumeric = at > 0 && cells.slice(1).every((cell) => numeric.test(cell));
    return { isNumeric, width: Math.max(...cells.map(textWidth)) };
  });
  return shown.map((row) => `${line(row, columns)}\n`).join('');
}

interface Column {
  readonly isNumeric: boolean;
  readonly width: number;
}

function line(row: readonly string[], columns: readonly Column[]): string {
  return row
    .map((cell, at) => {
      const { isNumeric, width } = columns[at]!;
      const blank = ' '.repeat(width - textWidth(cell));
      return isNumeric ? blank + cell : cell + blank;
    })
    .join('  ')
    .trimEnd();
}
