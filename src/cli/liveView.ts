import type { AuditOptions, AuditProgress } from '../audit/options.ts';
import { displayText } from '../domain/displayText.ts';
import { counted, formatAngle, formatPercent, formatRate, formatShutter } from '../domain/format.ts';
import { framesPerSecond } from '../domain/frameRate.ts';
import type { Facts } from '../domain/recording.ts';
import { shutterAngleDegrees, shutterRate } from '../domain/shutter.ts';
import { shortenMiddle, textWidth } from '../report/terminalText.ts';

/** What an audit tells while it goes on. */
type Events = Required<Pick<AuditOptions, 'onStart' | 'onRead' | 'onProgress'>>;

interface LiveView extends Events {
  /** Takes everything away that was shown. */
  readonly clear: () => void;
  /** Where the audit stands, for one that is interrupted. */
  readonly progress: () => Pick<AuditProgress, 'done' | 'total'>;
}

interface Row {
  readonly path: string;
  readonly cells: readonly string[];
  /** Of the picture; absent while it waits. */
  clipped?: string;
}

const heads = ['fps', 'shutter', 'angle', 'ISO', 'clipped'];
const cellWidth = 9;
/** Redrawn more often, a terminal over a slow line lags behind. */
const leastMsBetween = 100;

/**
 * What was recorded, as it is read, and then what was measured of it, on a terminal's standard error; nothing anywhere
 * else.
 */
export function openLiveView(stream: NodeJS.WriteStream | undefined): LiveView {
  const rows = new Map<string, Row>();
  let files = { clips: 0, stills: 0 };
  let progress: AuditProgress = { done: 0, total: 0, path: '' };
  let unreadable = 0;
  let lastReadMs = 0;
  let linesShown = 0;
  let drawnMs = 0;
  const isShown = stream?.isTTY === true;

  const erase = (): void => {
    if (linesShown > 0) stream?.write(`\r\u001b[${linesShown}A\u001b[J`);
    linesShown = 0;
  };
  const draw = (): void => {
    if (!isShown || performance.now() - drawnMs < leastMsBetween) return;
    drawnMs = performance.now();
    // A terminal that does not know its size says 0.
    const columns = Math.min(stream.columns || 80, 100) - 1;
    const read = rows.size + unreadable;
    const status =
      read < files.clips + files.stills || read === 0
        ? readingLine(files, read)
        : progressLine(progress, (drawnMs - lastReadMs) / 1000);
    const table = visibleRows([...rows.values()].sort(byPath), (stream.rows || 24) - 4, columns);
    const lines = [...table, status].map((line) => shortenMiddle(line, columns));
    erase();
    stream.write(`${lines.join('\n')}\n`);
    linesShown = lines.length;
  };

  return {
    onStart: (counts) => {
      files = counts;
      draw();
    },
    onRead: ({ path, facts }) => {
      rows.set(path, { path, cells: recordedCells(facts) });
      lastReadMs = performance.now();
      draw();
    },
    onProgress: (step) => {
      progress = step;
      const row = rows.get(step.path);
      if (row === undefined) unreadable += 1;
      if (row !== undefined)
        row.clipped = step.clippedFraction === undefined ? '' : formatPercent(step.clippedFraction);
      draw();
    },
    clear: erase,
    progress: () => progress,
  };
}

const byPath = (a: Row, b: Row): number => (a.path < b.path ? -1 : 1);

function readingLine({ clips, stills }: { clips: number; stills: number }, read: number): string {
  const what = [clips > 0 ? counted(clips, 'clip') : '', stills > 0 ? counted(stills, 'still') : ''];
  const first = read === 0 ? '' : `: ${read} of ${clips + stills}`;
  return `Reading ${what.filter((text) => text !== '').join(' and ')}${first}`;
}

function recordedCells(facts: Facts): readonly string[] {
  const { exposureSeconds, iso } = facts;
  const opens = shutterRate(facts);
  const rate = opens && framesPerSecond(opens.rate);
  const angle =
    exposureSeconds &&
    rate &&
    shutterAngleDegrees({ exposureSeconds: exposureSeconds.value, framesPerSecond: rate });
  return [
    rate === undefined ? '·' : formatRate(rate),
    exposureSeconds === undefined ? '·' : formatShutter(exposureSeconds.value),
    angle === undefined ? '·' : formatAngle(angle),
    iso === undefined ? '·' : String(iso.value),
  ];
}

/** As many rows as there is room for, those around the first that waits. */
function visibleRows(rows: readonly Row[], room: number, columns: number): readonly string[] {
  if (rows.length === 0 || room < 3) return [];
  const waits = rows.findIndex(({ clipped }) => clipped === undefined);
  const middle = waits === -1 ? rows.length : waits;
  const first = Math.max(0, Math.min(middle - Math.ceil(room / 2), rows.length - room));
  const width = Math.max(10, columns - heads.length * cellWidth - 1);
  const line = (name: string, cells: readonly string[]): string => {
    const short = shortenMiddle(name, width);
    const padded = short + ' '.repeat(width - textWidth(short));
    return padded + cells.map((cell) => cell.padStart(cellWidth)).join('');
  };
  return [
    line('recording', heads),
    ...rows
      .slice(first, first + room)
      .map(({ path, cells, clipped }) => line(displayText(path), [...cells, clipped ?? '…'])),
  ];
}

/** Before so much of the work is done, its pace says little. */
const leastWorkFraction = 0.1;

/** Counts and the time left, by the work that is done: "Measuring pictures: 10 of 40 files, about 60 s left". */
function progressLine({ done, total, workFraction = 0 }: AuditProgress, elapsedSeconds: number): string {
  const seconds = Math.round(elapsedSeconds * (1 / workFraction - 1));
  const left =
    workFraction < leastWorkFraction
      ? ''
      : `, about ${seconds < 100 ? `${seconds} s` : `${Math.round(seconds / 60)} min`} left`;
  return `Measuring pictures: ${done} of ${total} files${left}`;
}
