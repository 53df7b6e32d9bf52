import Table from 'cli-table3';
import type { ReportedRecording } from '../document/reportedRecording.ts';
import { isFlagged } from './arrangement.ts';
import type { Palette } from './palette.ts';
import { tableColumns, type TableColumn } from './tableColumns.ts';
import { shortenMiddle, textWidth } from './textWidth.ts';

export interface TableOptions {
  readonly columns: number;
  readonly palette: Palette;
  /** The angle that the shutter is held against, for the heading. */
  readonly targetAngleDegrees: number;
}

const unknown = '·';
const gap = '  ';
const mark = '!';
const narrowestPath = 18;
const widestCell = 14;
const rowsAtOnce = 50;
/** Characters of a filter's label that the table library measures in its own way. */
const contested = /[\u{10000}-\u{10ffff}\p{M}\p{Emoji_Presentation}]/gu;

interface Cell {
  readonly text: string | undefined;
  readonly isFlagged: boolean;
}

interface FilledColumn extends Pick<TableColumn, 'head' | 'align' | 'rank'> {
  readonly width: number;
  readonly cells: readonly Cell[];
}

interface Name {
  readonly path: string;
  readonly isFlagged: boolean;
}

/** One line for each recording, none wider than `columns`: what does not fit is left out, paths are shortened. */
export function recordingsTable(recordings: Iterable<ReportedRecording>, options: TableOptions): string {
  const { palette, columns, targetAngleDegrees } = options;
  const { names, filled } = filledColumns(recordings, tableColumns(targetAngleDegrees));
  const shown = fittingColumns(filled, columns);
  const nameWidth = Math.min(
    nameRoom(shown, columns),
    Math.max(9, ...names.map(({ path }) => textWidth(path))),
  );
  const lines = [
    ...laidOut([shown.map(({ head }) => palette.dim(head))], shown),
    ...laidOut(cellTexts(names.length, shown, palette), shown),
  ];
  const starts = [
    `   ${palette.dim('recording')}${' '.repeat(nameWidth - 'recording'.length)}`,
    ...names.map((name) => lineStart(name, nameWidth, palette)),
  ];
  return starts.map((start, index) => `${start}${gap}${lines[index] ?? ''}`.trimEnd()).join('\n');
}

type Texts = readonly string[];

function* cellTexts(rows: number, shown: readonly FilledColumn[], palette: Palette): Generator<Texts> {
  for (let row = 0; row < rows; row++) yield shown.map(({ cells }) => cellText(cells[row]!, palette));
}

/** A few rows at a time: the table library takes kilobytes for each. */
function* laidOut(rows: Iterable<Texts>, shown: readonly FilledColumn[]): Generator<string> {
  const layout = {
    colWidths: shown.map(({ width }) => width),
    colAligns: shown.map(({ align }) => align),
    chars: borderless,
    style: { 'padding-left': 0, 'padding-right': 0, head: [], border: [] },
  };
  let table = new Table(layout);
  for (const row of rows) {
    table.push([...row]);
    if (table.length < rowsAtOnce) continue;
    yield* table.toString().split('\n');
    table = new Table(layout);
  }
  if (table.length > 0) yield* table.toString().split('\n');
}

/** Looks at each recording once. Columns that say nothing of any are left out. */
function filledColumns(recordings: Iterable<ReportedRecording>, columns: readonly TableColumn[]) {
  const names: Name[] = [];
  const cells = columns.map((): Cell[] => []);
  for (const recording of recordings) {
    names.push({ path: recording.path, isFlagged: isFlagged(recording) });
    for (const [at, { cell, flagged }] of columns.entries())
      cells[at]!.push({ text: cell(recording), isFlagged: flagged?.(recording) === true });
  }
  const filled = columns
    .map(({ head, align, rank }, at) => ({ head, align, rank, cells: cells[at]! }))
    .filter((column) => column.cells.some(({ text }) => text !== undefined))
    .map((column): FilledColumn => ({ ...column, width: columnWidth(column) }));
  return { names, filled };
}

// The name stands outside the table library: it may hold any character, and the library and textWidth() differ on
// how wide some of them are.
function lineStart(recording: Name, width: number, palette: Palette): string {
  const name = shortenMiddle(recording.path, width);
  const sign = recording.isFlagged ? palette.red(mark) : ' '.repeat(mark.length);
  return `${sign}${gap}${name}${' '.repeat(width - textWidth(name))}`;
}

function cellText({ text, isFlagged: inRed }: Cell, palette: Palette): string {
  if (text === undefined) return palette.dim(unknown);
  const short = shortenMiddle(text.replace(contested, '?'), widestCell);
  return inRed ? palette.red(short) : short;
}

function fittingColumns(all: readonly FilledColumn[], columns: number): readonly FilledColumn[] {
  let shown = all;
  while (shown.length > 1 && nameRoom(shown, columns) < narrowestPath) {
    const lowest = Math.min(...shown.map(({ rank }) => rank));
    shown = shown.filter(({ rank }) => rank !== lowest);
  }
  return shown;
}

function columnWidth({ head, cells }: Pick<FilledColumn, 'head' | 'cells'>): number {
  const widest = Math.max(0, ...cells.map(({ text }) => textWidth(text ?? unknown)));
  return Math.max(textWidth(head), Math.min(widestCell, widest));
}

function nameRoom(shown: readonly FilledColumn[], columns: number): number {
  const taken = shown.reduce((sum, { width }) => sum + width + gap.length, mark.length + gap.length);
  return Math.max(columns - taken, 1);
}

const borderless = {
  top: '',
  'top-mid': '',
  'top-left': '',
  'top-right': '',
  bottom: '',
  'bottom-mid': '',
  'bottom-left': '',
  'bottom-right': '',
  left: '',
  'left-mid': '',
  mid: '',
  'mid-mid': '',
  right: '',
  'right-mid': '',
  middle: gap,
};
