import { extent } from 'd3-array';
import { scaleLinear, scaleLog, scaleSqrt } from 'd3-scale';
import { area, curveLinear, curveStepAfter, line } from 'd3-shape';
import type { ReportedSettings } from '../../document/auditDocument.ts';
import type { ReportedRecording } from '../../document/reportedRecording.ts';
import {
  formatAngle,
  formatBlurAngle,
  formatDuration,
  formatPercent,
  formatStops,
} from '../../domain/format.ts';
import { shutterAngleDegrees } from '../../domain/shutter.ts';
import { whiteMayBeHigherStops } from '../../domain/transferCurves.ts';
import { placeText, spanText } from '../clipPlace.ts';
import { markTitles, type Mark } from '../marks.ts';
import { openingsPerSecond } from '../settingsNotation.ts';

interface TimePlotProps {
  readonly recording: ReportedRecording;
  readonly settings: ReportedSettings;
  readonly marks: readonly Mark[];
}

const labelHeight = 18;
const markHeight = 22;
const gap = 8;
const axisHeight = 22;

const markOrder = Object.keys(markTitles) as readonly Mark['kind'][];

/** Everything that changes during a clip, one row each over one time axis, with the marked stretches on top. */
export function TimePlot({ recording, settings, marks }: TimePlotProps) {
  const duration = recording.facts.durationSeconds?.value;
  if (duration === undefined || duration <= 0) return null;
  const rows = quantitiesOf(recording, settings).flatMap((quantity) => plotRow(quantity, duration) ?? []);
  if (rows.length === 0 && marks.every(({ kind }) => kind === 'usable')) return null;
  const kinds = markOrder.filter((kind) => marks.some((mark) => mark.kind === kind));
  const rowsTop = kinds.length * markHeight + (kinds.length > 0 ? gap : 0);
  const tops = [rowsTop];
  for (const { height } of rows) tops.push(tops.at(-1)! + labelHeight + height + gap);
  const axisTop = tops.at(-1)!;
  return (
    <svg
      class="plot"
      width="100%"
      height={axisTop + axisHeight}
      role="img"
      aria-label={inWords(rows, { recording, settings, marks }, duration)}
    >
      {kinds.map((kind, at) => (
        <MarkLine
          kind={kind}
          marks={marks.filter((mark) => mark.kind === kind)}
          duration={duration}
          recording={recording}
          top={at * markHeight}
        />
      ))}
      {rows.map((row, at) => (
        <Row row={row} top={tops[at]!} />
      ))}
      <Axis recording={recording} duration={duration} top={axisTop} />
    </svg>
  );
}

function inWords(rows: readonly PlotRow[], { recording, marks }: TimePlotProps, duration: number): string {
  const spans = marks.map((mark) => `${markTitles[mark.kind]} ${spanText(recording, mark)}`);
  const lines = rows.map(({ label, summary }) => `${label} ${summary}`);
  return `Over ${formatDuration(duration)}: ${[...spans, ...lines].join('; ')}.`;
}

const percent = (fraction: number) => `${(fraction * 100).toFixed(2)}%`;

interface MarkLineProps {
  readonly kind: Mark['kind'];
  readonly marks: readonly Mark[];
  readonly duration: number;
  readonly recording: ReportedRecording;
  readonly top: number;
}

function MarkLine({ kind, marks, duration, recording, top }: MarkLineProps) {
  return (
    <g class={`mark ${kind}`}>
      <text x="0" y={top + 10}>
        {markTitles[kind]}
      </text>
      <text class="end" x="100%" y={top + 10}>
        {spansInWords(marks, recording)}
      </text>
      <line x1="0" x2="100%" y1={top + 17} y2={top + 17} />
      {marks.map(({ startSeconds, endSeconds }) => (
        <rect
          x={percent(share(startSeconds, duration))}
          width={percent(Math.max(share(endSeconds, duration) - share(startSeconds, duration), 0.004))}
          y={top + 14}
          height="6"
        />
      ))}
    </g>
  );
}

function spansInWords(marks: readonly Mark[], recording: ReportedRecording): string {
  const [first] = marks;
  const duration = recording.facts.durationSeconds?.value;
  if (marks.length === 1 && first!.startSeconds === 0 && first!.endSeconds === duration) return 'all of it';
  return marks.length > 3
    ? `${marks.length} stretches`
    : marks.map((mark) => spanText(recording, mark)).join(', ');
}

function Row({ row, top }: { readonly row: PlotRow; readonly top: number }) {
  const { label, summary, height, path, filled, dots, wanted } = row;
  const drawTop = top + labelHeight;
  return (
    <g>
      <text x="0" y={top + 12}>
        {label}
      </text>
      <text class="end" x="100%" y={top + 12}>
        {summary}
      </text>
      <rect class="field" x="0" y={drawTop} width="100%" height={height} />
      {wanted && (
        <rect class="wanted" x="0" y={drawTop + wanted.from} width="100%" height={wanted.to - wanted.from} />
      )}
      <svg
        x="0"
        y={drawTop}
        width="100%"
        height={height}
        viewBox={`0 0 ${plotUnits} ${height}`}
        preserveAspectRatio="none"
      >
        <path class={filled ? 'filled' : 'line'} d={path} />
      </svg>
      {dots.map(({ share: place, y }) => (
        <circle cx={percent(place)} cy={(drawTop + y).toFixed(1)} r="1.8" />
      ))}
    </g>
  );
}

interface AxisProps {
  readonly recording: ReportedRecording;
  readonly duration: number;
  readonly top: number;
}

function Axis({ recording, duration, top }: AxisProps) {
  const hasTimecode = recording.facts.startTimecode !== undefined;
  // Timecodes are wide.
  const ticks = scaleLinear()
    .domain([0, duration])
    .ticks(hasTimecode ? 3 : 5);
  return (
    <g class="axis">
      {ticks.map((seconds) => {
        const place = share(seconds, duration);
        const anchor = place < 0.03 ? 'start' : place > 0.97 ? 'end' : 'middle';
        return (
          <>
            <line x1={percent(place)} x2={percent(place)} y1={top - gap} y2={top - gap + 4} />
            <text x={percent(place)} y={top + 10} text-anchor={anchor}>
              {/* Places of a scale are round, but not always to a tenth of a second. */}
              {hasTimecode || seconds >= 60
                ? placeText(recording, seconds)
                : `${Number(seconds.toFixed(3))} s`}
            </text>
          </>
        );
      })}
    </g>
  );
}

interface Point {
  readonly atSeconds: number;
  readonly value: number;
}

interface Quantity {
  readonly label: string;
  readonly points: readonly Point[];
  /** From the range of the values to a scale that gives 0 at the top and 1 at the bottom. */
  readonly scaleOf: (low: number, high: number) => (value: number) => number;
  /** What it comes to, in words, for those who cannot see the line: the range, and what follows it. */
  readonly format: (value: number) => string;
  readonly unit: string;
  readonly style: 'line' | 'steps' | 'area';
  /** What it is held against. */
  readonly wanted?: { readonly from: number; readonly to: number };
}

function quantitiesOf(recording: ReportedRecording, settings: ReportedSettings): readonly Quantity[] {
  const limit = settings.clippedFraction;
  const transfer = recording.facts.transfer?.value;
  return [
    shutterQuantity(recording, settings),
    {
      label: 'brightness',
      points: series(recording, 'levelStops'),
      scaleOf: (low, high) => scaleLinear([Math.min(-2, low), Math.max(2, high)], [1, 0]),
      format: formatStops,
      unit: ' stops against mid-grey',
      style: 'line',
      wanted: { from: transfer === undefined ? 0 : whiteMayBeHigherStops(transfer), to: 0 },
    },
    {
      label: 'clipped',
      points: withRefinedEnds(series(recording, 'clippedFraction'), recording, limit),
      scaleOf: (_, high) => scaleSqrt([0, Math.max(4 * limit, high)], [1, 0]),
      format: formatPercent,
      unit: ` of the picture, flagged above ${formatPercent(limit)}`,
      style: 'area',
      wanted: { from: limit, to: limit },
    },
    {
      label: 'motion',
      points: series(recording, 'motionPixelsPerFrame'),
      scaleOf: (_, high) => scaleLinear([0, Math.max(4, high)], [1, 0]),
      format: (pixels) => String(Number(pixels.toFixed(1))),
      unit: ' pixels from frame to frame',
      style: 'line',
    },
  ];
}

/** The ends of burnt stretches were looked for between the frames: there the share crosses what is accepted. */
function withRefinedEnds(
  points: readonly Point[],
  { picture }: ReportedRecording,
  limit: number,
): readonly Point[] {
  const ends = (picture?.clippedSpans ?? []).flatMap(({ startSeconds, endSeconds }) => [
    startSeconds,
    endSeconds,
  ]);
  const isNew = (seconds: number) => points.every(({ atSeconds }) => Math.abs(atSeconds - seconds) > 1e-3);
  const refined = ends.filter(isNew).map((atSeconds): Point => ({ atSeconds, value: limit }));
  return points.length === 0 ? points : [...points, ...refined].toSorted((a, b) => a.atSeconds - b.atSeconds);
}

function shutterQuantity(recording: ReportedRecording, settings: ReportedSettings): Quantity {
  const { track, shutter } = recording;
  const framesPerSecond = openingsPerSecond(recording);
  const recorded = (track?.timeline ?? []).flatMap(({ startSeconds, exposureSeconds }) =>
    exposureSeconds === undefined || framesPerSecond === undefined
      ? []
      : [{ atSeconds: startSeconds, value: shutterAngleDegrees({ exposureSeconds, framesPerSecond }) }],
  );
  const steady = shutter?.angleDegrees === undefined ? [] : [{ atSeconds: 0, value: shutter.angleDegrees }];
  const target = settings.shutterAngleDegrees;
  const tolerance = 2 ** settings.shutterToleranceStops;
  return {
    label: 'shutter angle',
    points: recorded.length > 0 ? recorded : steady,
    scaleOf: (low, high) => scaleLog([Math.min(target / 4, low), Math.max(target * 2, high)], [1, 0]),
    format: shutter?.basis === 'picture' ? formatBlurAngle : formatAngle,
    unit: `, target ${formatAngle(target)}`,
    style: 'steps',
    wanted: { from: target * tolerance, to: target / tolerance },
  };
}

function series(
  { picture }: ReportedRecording,
  name: 'levelStops' | 'clippedFraction' | 'motionPixelsPerFrame',
): readonly Point[] {
  return (picture?.frames ?? []).flatMap(({ atSeconds, [name]: value }) =>
    value === undefined ? [] : [{ atSeconds, value }],
  );
}

/** Paths are drawn in this many units from start to end of the clip, and stretched to the width that there is. */
const plotUnits = 1000;
const rowHeight = 34;
/** A quantity that stays the same needs no more than a line. */
const flatHeight = 12;
/** Less than this of a row's height is no change that could be seen. */
const flatShare = 0.06;
/** More would run into a line. */
const mostDots = 60;

type PlotRow = NonNullable<ReturnType<typeof plotRow>>;

/** How high a row has to be, and where everything lies in it. */
function plotRow({ label, points, scaleOf, format, unit, style, wanted }: Quantity, duration: number) {
  const [low, high] = extent(points, ({ value }) => value);
  if (low === undefined || high === undefined) return undefined;
  const scale = scaleOf(low, high);
  const height = scale(low) - scale(high) < flatShare ? flatHeight : rowHeight;
  const y = (value: number) => 2 + scale(value) * (height - 4);
  // A line that is wanted is as thick as one that is drawn.
  const spread = style === 'steps' ? 0 : 0.5;
  return {
    label,
    height,
    summary: `${[...new Set([low, high].map(format))].join(' to ')}${unit}`,
    path: drawnPath(points, { duration, y, style, height }),
    filled: style === 'area',
    dots:
      style === 'line' && points.length <= mostDots
        ? points.map(({ atSeconds, value }) => ({ share: share(atSeconds, duration), y: y(value) }))
        : [],
    wanted: wanted && { from: y(wanted.from) - spread, to: y(wanted.to) + spread },
  };
}

interface Drawing extends Pick<Quantity, 'style'> {
  readonly duration: number;
  readonly y: (value: number) => number;
  readonly height: number;
}

function drawnPath(points: readonly Point[], { duration, y: yOf, style, height }: Drawing): string {
  const x = ({ atSeconds }: Point) => Number((share(atSeconds, duration) * plotUnits).toFixed(1));
  const y = ({ value }: Point) => Number(yOf(value).toFixed(1));
  if (style === 'area') return area<Point>().x(x).y0(height).y1(y).digits(1)([...points]) ?? '';
  const path = line<Point>().x(x).y(y).digits(1);
  if (style === 'line') return path.curve(curveLinear)([...points]) ?? '';
  return path.curve(curveStepAfter)([...points, { ...points.at(-1)!, atSeconds: duration }]) ?? '';
}

/** Where a moment lies in the clip, [0, 1]. */
function share(seconds: number, duration: number): number {
  return Math.min(Math.max(seconds / duration, 0), 1);
}
