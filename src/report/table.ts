import Table from 'cli-table3';
import { displayText } from '../domain/displayText.ts';
import { textWidth } from './terminalText.ts';

export const columnGap = '  ';

interface TableColumn {
  readonly align: 'left' | 'right';
  /** In cells of the terminal, at least that of every text in it. */
  readonly width: number;
}

type Rows = readonly (readonly string[])[];

/** For each cell the library looks at all rows before it, so a long table is laid out in pieces. */
const rowsAtOnce = 50;
/** Beyond letters of Europe, punctuation and mathematical signs the library and textWidth() differ on some widths. */
const contested = /[\u0300-\u1fff\u2300-\u{10ffff}]/u;
const standIn = '\ue000';

/** Rows side by side without borders, a line for each. Cells may be coloured. */
export function tableLines(rows: Rows, columns: readonly TableColumn[]): readonly string[] {
  const layout = {
    colWidths: columns.map(({ width }) => width),
    colAligns: columns.map(({ align }) => align),
    chars: borderless,
    style: { 'padding-left': 0, 'padding-right': 0, head: [], border: [] },
  };
  const starts = Array.from({ length: Math.ceil(rows.length / rowsAtOnce) }, (_, at) => at * rowsAtOnce);
  return starts.flatMap((start) => {
    const { cells, originals } = withStandIns(rows.slice(start, start + rowsAtOnce));
    const table = new Table(layout);
    table.push(...cells);
    const text = table.toString().replace(/\ue000+/g, () => originals.shift()!);
    return text.split('\n').map((line) => line.trimEnd());
  });
}

/** Contested texts wait until the others are laid out; signs of private use keep their room. */
function withStandIns(rows: Rows) {
  const originals: string[] = [];
  const cells = rows.map((row) =>
    row.map((text) => {
      const width = textWidth(text);
      if (width === 0 || !contested.test(text)) return text;
      originals.push(text);
      return standIn.repeat(width);
    }),
  );
  return { cells, originals };
}

/** A number in any of the notations here, alone or with words behind it; or that there is none. */
const numeric = /^[<>≈+−]*\d|^·?$/;

/** Rows below their headings: numbers to the right, names and words to the left. Texts are made safe to print. */
export function textTable(rows: Rows): string {
  const shown = rows.map((row) => row.map(displayText));
  const columns = (shown[0] ?? []).map((_, at): TableColumn => {
    const cells = shown.map((row) => row[at]!);
    const isNumeric = at > 0 && cells.slice(1).every((cell) => numeric.test(cell));
    return { align: isNumeric ? 'right' : 'left', width: Math.max(...cells.map(textWidth)) };
  });
  return tableLines(shown, columns)
    .map((line) => `${line}\n`)
    .join('');
}

/** All that the library would draw between cells but the gap. */
const borders =
  'top top-mid top-left top-right bottom bottom-mid bottom-left bottom-right left left-mid mid mid-mid right right-mid';
const borderless = {
  ...Object.fromEntries(borders.split(' ').map((border) => [border, ''])),
  middle: columnGap,
};
