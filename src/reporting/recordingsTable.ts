import Table from 'cli-table3';
import type { ReportedRecording } from '../domain/reportedRecording.ts';
import { isFlagged } from './arrangement.ts';
import type { Palette } from './palette.ts';
import { tableColumns, tellingColumns } from './tableColumns.ts';
import type { TableColumn } from './tableColumns.ts';
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
/** Characters of a filter's label that the table library measures in its own way. */
const contested = /[\u{10000}-\u{10ffff}\p{M}\p{Emoji_Presentation}]/gu;

/** One line for each recording, none wider than `columns`: what does not fit is left out, paths are shortened. */
export function recordingsTable(recordings: readonly ReportedRecording[], options: TableOptions): string {
  const { palette, columns, targetAngleDegrees } = options;
  const telling = tellingColumns(tableColumns(targetAngleDegrees), recordings);
  const shown = fittingColumns(telling, recordings, columns);
  const widths = shown.map((column) => columnWidth(column, recordings));
  const nameWidth = Math.min(
    nameRoom(widths, columns),
    Math.max(9, ...recordings.map(({ path }) => textWidth(path))),
  );
  const table = new Table({
    head: shown.map(({ head }) => palette.dim(head)),
    colWidths: widths,
    colAligns: shown.map(({ align }) => align),
    chars: borderless,
    style: { 'padding-left': 0, 'padding-right': 0, head: [], border: [] },
  });
  for (const recording of recordings) table.push(shown.map((column) => cell(column, recording, palette)));
  const starts = [
    `   ${palette.dim('recording')}${' '.repeat(nameWidth - 'recording'.length)}`,
    ...recordings.map((recording) => lineStart(recording, nameWidth, palette)),
  ];
  const lines = table.toString().split('\n');
  return starts.map((start, index) => `${start}${gap}${lines[index] ?? ''}`.trimEnd()).join('\n');
}

// The name stands outside the table library: it may hold any character, and the library and textWidth() differ on
// how wide some of them are.
function lineStart(recording: ReportedRecording, width: number, palette: Palette): string {
  const name = shortenMiddle(recording.path, width);
  const sign = isFlagged(recording) ? palette.red(mark) : ' '.repeat(mark.length);
  return `${sign}${gap}${name}${' '.repeat(width - textWidth(name))}`;
}

function cell({ cell: text, flagged }: TableColumn, recording: ReportedRecording, palette: Palette): string {
  const shown = text(recording);
  if (shown === undefined) return palette.dim(unknown);
  const short = shortenMiddle(shown.replace(contested, '?'), widestCell);
  return flagged?.(recording) === true ? palette.red(short) : short;
}

function fittingColumns(
  all: readonly TableColumn[],
  recordings: readonly ReportedRecording[],
  columns: number,
) {
  let shown = all;
  while (shown.length > 1) {
    const room = nameRoom(
      shown.map((column) => columnWidth(column, recordings)),
      columns,
    );
    if (room >= narrowestPath) break;
    const lowest = Math.min(...shown.map(({ rank }) => rank));
    shown = shown.filter(({ rank }) => rank !== lowest);
  }
  return shown;
}

function columnWidth({ head, cell: text }: TableColumn, recordings: readonly ReportedRecording[]): number {
  const cells = recordings.map((recording) => textWidth(text(recording) ?? unknown));
  return Math.max(textWidth(head), Math.min(widestCell, Math.max(0, ...cells)));
}

function nameRoom(widths: readonly number[], columns: number): number {
  const taken = widths.reduce((sum, width) => sum + width + gap.length, mark.length + gap.length);
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
