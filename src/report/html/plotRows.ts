import { extent } from 'd3-array';
import { scaleLinear, scaleLog, scaleSqrt } from 'd3-scale';
import { area, curveLinear, curveStepAfter, line } from 'd3-shape';
import type { ReportedSettings } from '../../document/auditDocument.ts';
import type { ReportedRecording } from '../../document/reportedRecording.ts';
import { formatAngle, formatBlurAngle, formatPercent, formatStops } from '../../domain/format.ts';
import { shutterAngleDegrees } from '../../domain/shutter.ts';
import { whiteMayBeHigherStops } from '../../domain/transferCurves.ts';
import { openingsPerSecond } from '../settingsNotation.ts';

/** One quantity over the time of a clip. */
export interface PlotRow {
  readonly label: string;
  /** What it comes to, in words, for those who cannot see the line. */
  readonly summary: string;
  readonly height: number;
  readonly path: string;
  readonly filled: boolean;
  /** Places of single values, where there are few: share of the time, and y. */
  readonly dots: readonly { readonly share: number; readonly y: number }[];
  /** What it is held against: from one y to another. */
  readonly wanted?: { readonly from: number; readonly to: number };
}

type PlotSettings = Pick<
  ReportedSettings,
  'shutterAngleDegrees' | 'shutterToleranceStops' | 'clippedFraction'
>;

/** Everything of a clip that is known over time, each with a scale of its own. */
export function plotRows(recording: ReportedRecording, settings: PlotSettings): readonly PlotRow[] {
  const duration = recording.facts.durationSeconds?.value;
  if (duration === undefined || duration <= 0) return [];
  return [
    shutterRow(recording, duration, settings),
    levelRow(recording, duration),
    clippedRow(recording, duration, settings.clippedFraction),
    motionRow(recording, duration),
  ].filter((row) => row !== undefined);
}

function shutterRow(
  recording: ReportedRecording,
  duration: number,
  settings: PlotSettings,
): PlotRow | undefined {
  const { track, shutter } = recording;
  const framesPerSecond = openingsPerSecond(recording);
  const recorded: Point[] = (track?.timeline ?? []).flatMap(({ startSeconds, exposureSeconds }) =>
    exposureSeconds === undefined || framesPerSecond === undefined
      ? []
      : [{ atSeconds: startSeconds, value: shutterAngleDegrees({ exposureSeconds, framesPerSecond }) }],
  );
  const steady = shutter?.angleDegrees === undefined ? [] : [{ atSeconds: 0, value: shutter.angleDegrees }];
  const points = recorded.length > 0 ? recorded : steady;
  const last = points.at(-1);
  if (last === undefined) return undefined;
  const target = settings.shutterAngleDegrees;
  const tolerance = 2 ** settings.shutterToleranceStops;
  const [low, high] = rangeOf(points);
  const scale = scaleLog([Math.min(target / 4, low), Math.max(target * 2, high)], [1, 0]);
  const { height, y } = rowScale([low, high], scale);
  const format = shutter?.basis === 'picture' ? formatBlurAngle : formatAngle;
  return {
    label: 'shutter angle',
    height,
    summary: `${span([low, high], format)}, target ${formatAngle(target)}`,
    path: drawn([...points, { ...last, atSeconds: duration }], duration, y, 'steps'),
    filled: false,
    dots: [],
    wanted: { from: y(target * tolerance), to: y(target / tolerance) },
  };
}

function levelRow(recording: ReportedRecording, duration: number): PlotRow | undefined {
  const points = series(recording, 'levelStops');
  if (points.length === 0) return undefined;
  const transfer = recording.facts.transfer?.value;
  const openStops = transfer === undefined ? 0 : whiteMayBeHigherStops(transfer);
  const [low, high] = rangeOf(points);
  const scale = scaleLinear([Math.min(-2, low), Math.max(2, high)], [1, 0]);
  const { height, y } = rowScale([low, high], scale);
  return {
    label: 'brightness',
    height,
    summary: `${span([low, high], formatStops)} stops against mid-grey`,
    path: drawn(points, duration, y),
    filled: false,
    dots: dotsOf(points, duration, y),
    wanted: { from: y(openStops) - 0.5, to: y(0) + 0.5 },
  };
}

function clippedRow(
  recording: ReportedRecording,
  duration: number,
  limitFraction: number,
): PlotRow | undefined {
  const points = series(recording, 'clippedFraction');
  if (points.length === 0) return undefined;
  const [low, high] = rangeOf(points);
  const { height, y } = rowScale([low, high], scaleSqrt([0, Math.max(4 * limitFraction, high)], [1, 0]));
  return {
    label: 'clipped',
    height,
    summary: `${span([low, high], formatPercent)} of the picture, flagged above ${formatPercent(limitFraction)}`,
    path: drawn(points, duration, y, { filledTo: height }),
    filled: true,
    dots: [],
    wanted: { from: y(limitFraction) - 0.5, to: y(limitFraction) + 0.5 },
  };
}

function motionRow(recording: ReportedRecording, duration: number): PlotRow | undefined {
  const points = series(recording, 'motionPixelsPerFrame');
  if (points.length === 0) return undefined;
  const [low, high] = rangeOf(points);
  const { height, y } = rowScale([low, high], scaleLinear([0, Math.max(4, high)], [1, 0]));
  const pixels = (value: number) => String(Number(value.toFixed(1)));
  return {
    label: 'motion',
    height,
    summary: `${span([low, high], pixels)} pixels from frame to frame`,
    path: drawn(points, duration, y),
    filled: false,
    dots: dotsOf(points, duration, y),
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

type Range = readonly [low: number, high: number];

/** Of one point at least. */
function rangeOf(points: readonly Point[]): Range {
  return extent(points, ({ value }) => value) as [number, number];
}

function span(range: Range, format: (value: number) => string): string {
  return [...new Set(range.map(format))].join(' to ');
}

/** Paths are drawn in this many units from start to end of the clip, and stretched to the width that there is. */
export const plotUnits = 1000;
const rowHeight = 34;
/** A quantity that stays the same needs no more than a line. */
const flatHeight = 12;
/** Less than this of a row's height is no change that could be seen. */
const flatShare = 0.06;
/** More would run into a line. */
const mostDots = 60;

/** A value at a moment of a clip. */
interface Point {
  readonly atSeconds: number;
  readonly value: number;
}

/** How high a row has to be, and where a value lies in it. `scale` gives 0 at the top and 1 at the bottom. */
function rowScale([low, high]: Range, scale: (value: number) => number) {
  const flat = scale(low) - scale(high) < flatShare;
  const height = flat ? flatHeight : rowHeight;
  return { height, y: (value: number) => 2 + scale(value) * (height - 4) };
}

/** The line, the steps or the area through the points, as an SVG path. */
function drawn(
  points: readonly Point[],
  duration: number,
  yOf: (value: number) => number,
  style: 'line' | 'steps' | { readonly filledTo: number } = 'line',
): string {
  const x = ({ atSeconds }: Point) => Number((share(atSeconds, duration) * plotUnits).toFixed(1));
  const y = ({ value }: Point) => Number(yOf(value).toFixed(1));
  if (typeof style === 'object')
    return area<Point>().x(x).y0(style.filledTo).y1(y).digits(1)([...points]) ?? '';
  const curve = style === 'steps' ? curveStepAfter : curveLinear;
  return line<Point>().x(x).y(y).curve(curve).digits(1)([...points]) ?? '';
}

/** Where the points lie, where they are few enough to be told apart. */
function dotsOf(points: readonly Point[], duration: number, y: (value: number) => number) {
  if (points.length > mostDots) return [];
  return points.map(({ atSeconds, value }) => ({ share: share(atSeconds, duration), y: y(value) }));
}

/** Where a moment lies in the clip, [0, 1]. */
export function share(seconds: number, duration: number): number {
  return Math.min(Math.max(seconds / duration, 0), 1);
}
