import type { ReportedRecording } from '../document/reportedRecording.ts';
import { formatAngle, formatDuration, formatPercent, formatRate, formatStops } from '../domain/format.ts';
import { isFlagged, weighsEnough } from './arrangement.ts';
import { filterInShort, isFittedUnknown } from './carryWording.ts';
import { isByAssumedCurve, isRough, shownAngle, shownShutter } from './settingsNotation.ts';
import { columnGap, tableLines } from './table.ts';
import { shortenMiddle, textWidth, type Sheet } from './terminalText.ts';

/** What a table can say of a recording beside its name; the lowest rank leaves first where the table is narrow. */
type Column = readonly [
  head: string,
  align: 'left' | 'right',
  rank: number,
  cell: (recording: ReportedRecording) => string | undefined,
  flagged?: (recording: ReportedRecording) => boolean,
];

/** The columns that say something of at least one of the recordings. */
export function recordingColumns(recordings: readonly ReportedRecording[], targetAngleDegrees: number) {
  const columns: readonly Column[] = [
    [
      'length',
      'right',
      1,
      ({ facts }) => facts.durationSeconds && formatDuration(facts.durationSeconds.value),
    ],
    ['fps', 'right', 4, ({ facts }) => facts.framesPerSecond && formatRate(facts.framesPerSecond.value)],
    ['shutter', 'right', 8, shownShutter],
    ['angle', 'right', 9, shownAngle],
    [`vs ${formatAngle(targetAngleDegrees)}`, 'left', 7, shutterVerdict, hasShutterFlag],
    ['f/', 'right', 0, ({ facts }) => facts.fNumber && String(Number(facts.fNumber.value.toFixed(1)))],
    ['ISO', 'right', 3, ({ facts }) => facts.iso && String(Math.round(facts.iso.value)), hasFlag('iso-')],
    ['exposure', 'right', 5, shownOffset, hasFlag('too-')],
    [
      'clipped',
      'right',
      6,
      ({ picture }) => picture && formatPercent(picture.clippedFraction.max),
      hasFlag('highlights-'),
    ],
    ['fitted', 'left', 2, ({ filter }) => filter?.fitted?.label],
    ['carry', 'left', 10, ({ filter }) => filterInShort(filter)],
  ];
  return columns
    .map(([head, align, rank, cell, flagged]) => ({ head, align, rank, cell, flagged }))
    .filter(({ cell }) => recordings.some((recording) => cell(recording) !== undefined));
}

/** The exposure in stops, in brackets where it is rough. */
function shownOffset(recording: ReportedRecording): string | undefined {
  const { offsetStops } = recording.exposure;
  const text = offsetStops === undefined ? undefined : formatStops(offsetStops);
  return text && (isRough(recording) || isByAssumedCurve(recording)) ? `(${text})` : text;
}

/** How a clip's shutter stands against its target, in a few characters; undefined where nothing can be said. */
function shutterVerdict({ kind, shutter, findings }: ReportedRecording): string | undefined {
  if (findings.some((finding) => finding.kind === 'shutter-impossible')) return 'impossible';
  if (kind === 'still' || shutter === undefined || shutter.verdict === 'unknown') return undefined;
  const { verdict, offsetStops } = shutter;
  return offsetStops === undefined ? verdict : `${formatStops(offsetStops)} ${verdict}`;
}

function hasFlag(kindStart: string) {
  return ({ findings }: ReportedRecording) =>
    findings.some((finding) => weighsEnough(finding) && finding.kind.startsWith(kindStart));
}

/** A shutter that nobody will see is told calmly. */
function hasShutterFlag(recording: ReportedRecording): boolean {
  return recording.shutter?.matters !== 'no' && hasFlag('shutter-')(recording);
}

/** How to read the table: of the signs that need a word, those that are in it. */
export function tableLegend(
  recordings: readonly ReportedRecording[],
  flag = 'flagged, explained below',
): string {
  const parts = [
    recordings.some(isFlagged) && `! ${flag}`,
    'offsets in stops, + is more light',
    '· not known',
    recordings.some(({ filter }) => filter && isFittedUnknown(filter)) &&
      'stops to carry: on top of what was on the lens',
    recordings.some(({ shutter }) => shutter?.basis === 'picture') && '≈ told by motion blur',
    recordings.some(isRough) && '( ) HLG or PQ, known to two stops only',
    recordings.some(isByAssumedCurve) && '( ) curve assumed, known to a stop only',
  ];
  return parts.filter((part) => part !== false).join('; ');
}

interface TableSheet extends Sheet {
  /** The angle that the shutter is held against, for the heading. */
  readonly targetAngleDegrees: number;
}

const unknown = '·';
const mark = '!';
const narrowestPath = 18;
const widestCell = 14;

type FilledColumn = ReturnType<typeof recordingColumns>[number] & { readonly width: number };

/** One line for each recording, none wider than `columns`: what does not fit is left out, paths are shortened. */
export function recordingsTable(recordings: readonly ReportedRecording[], sheet: TableSheet): string {
  const { palette, columns, targetAngleDegrees } = sheet;
  const filled = recordingColumns(recordings, targetAngleDegrees).map((column): FilledColumn => {
    const widest = Math.max(...recordings.map((recording) => textWidth(column.cell(recording) ?? unknown)));
    return { ...column, width: Math.max(textWidth(column.head), Math.min(widestCell, widest)) };
  });
  const shown = fittingColumns(filled, columns);
  const widestPath = Math.max(textWidth('recording'), ...recordings.map(({ path }) => textWidth(path)));
  const nameWidth = Math.min(nameRoom(shown, columns), widestPath);
  const head = ['', palette.dim('recording'), ...shown.map((column) => palette.dim(column.head))];
  const rows = recordings.map((recording) => [
    isFlagged(recording) ? palette.red(mark) : '',
    shortenMiddle(recording.path, nameWidth),
    ...shown.map(({ cell, flagged }) => {
      const text = cell(recording);
      if (text === undefined) return palette.dim(unknown);
      const short = shortenMiddle(text, widestCell);
      return flagged?.(recording) === true ? palette.red(short) : short;
    }),
  ]);
  const nameColumns = [mark.length, nameWidth].map((width) => ({ align: 'left', width }) as const);
  return tableLines([head, ...rows], [...nameColumns, ...shown]).join('\n');
}

function fittingColumns(all: readonly FilledColumn[], columns: number): readonly FilledColumn[] {
  let shown = all;
  while (shown.length > 1 && nameRoom(shown, columns) < narrowestPath) {
    const lowest = Math.min(...shown.map(({ rank }) => rank));
    shown = shown.filter(({ rank }) => rank !== lowest);
  }
  return shown;
}

function nameRoom(shown: readonly FilledColumn[], columns: number): number {
  const width = shown.reduce(
    (sum, column) => sum + columnGap.length + column.width,
    mark.length + columnGap.length,
  );
  return Math.max(columns - width, 1);
}
