import { max, min } from 'd3-array';
import { scaleLinear, scaleLog, scaleSqrt } from 'd3-scale';
import type { ReportedRecording } from '../../domain/reportedRecording.ts';
import type { ReportedSettings } from '../../domain/report.ts';
import { shutterAngleDegrees } from '../../domain/shutter.ts';
import { whiteMayBeHigherStops } from '../../domain/transferUncertainty.ts';
import { formatAngle, formatBlurAngle, formatPercent, formatStops } from '../format.ts';
import { openingsPerSecond } from '../shutterNotation.ts';
import { dotsOf, drawn, rowScale, type Point } from './plotDrawing.ts';

/** One quantity over the time of a clip. */
export interface PlotRow {
  readonly label: string;
  /** What it comes to, in words, for those who cannot see the line. */
  readonly said: string;
  readonly height: number;
  readonly path: string;
  readonly filled: boolean;
  /** Places of single values, where there are few: share of the time, and y. */
  readonly dots: readonly { readonly share: number; readonly y: number }[];
  /** What it is held against: from one y to another. */
  readonly wanted?: { readonly from: number; readonly to: number };
}

/** Everything of a clip that is known over time, each with a scale of its own. */
export function plotRows(
  recording: ReportedRecording,
  settings: Pick<ReportedSettings, 'shutterAngleDegrees' | 'shutterToleranceStops' | 'clippedFraction'>,
): readonly PlotRow[] {
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
  settings: Pick<ReportedSettings, 'shutterAngleDegrees' | 'shutterToleranceStops'>,
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
  const values = points.map(({ value }) => value);
  const scale = scaleLog()
    .domain([Math.min(target / 4, min(values) ?? target), Math.max(target * 2, max(values) ?? target)])
    .range([1, 0]);
  const { height, y } = rowScale(values, scale);
  return {
    label: 'shutter angle',
    height,
    said: `${span(values, shutter?.basis === 'picture' ? formatBlurAngle : formatAngle)}, target ${formatAngle(target)}`,
    path: drawn([...points, { ...last, atSeconds: duration }], duration, y, 'steps'),
    filled: false,
    dots: [],
    wanted: { from: y(target * tolerance), to: y(target / tolerance) },
  };
}

function levelRow(recording: ReportedRecording, duration: number): PlotRow | undefined {
  const points = series(recording, 'levelStops');
  if (points.length === 0) return undefined;
  const values = points.map(({ value }) => value);
  const transfer = recording.facts.transfer?.value;
  const openStops = transfer === undefined ? 0 : whiteMayBeHigherStops(transfer);
  const scale = scaleLinear()
    .domain([Math.min(-2, min(values) ?? 0), Math.max(2, max(values) ?? 0)])
    .range([1, 0]);
  const { height, y } = rowScale(values, scale);
  return {
    label: 'brightness',
    height,
    said: `${span(values, formatStops)} stops against mid-grey`,
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
  const values = points.map(({ value }) => value);
  const scale = scaleSqrt()
    .domain([0, Math.max(4 * limitFraction, max(values) ?? 0)])
    .range([1, 0]);
  const { height, y } = rowScale(values, scale);
  return {
    label: 'clipped',
    height,
    said: `${span(values, formatPercent)} of the picture, flagged above ${formatPercent(limitFraction)}`,
    path: drawn(points, duration, y, { filledTo: height }),
    filled: true,
    dots: [],
    wanted: { from: y(limitFraction) - 0.5, to: y(limitFraction) + 0.5 },
  };
}

function motionRow(recording: ReportedRecording, duration: number): PlotRow | undefined {
  const points = series(recording, 'motionPixelsPerFrame');
  if (points.length === 0) return undefined;
  const values = points.map(({ value }) => value);
  const scale = scaleLinear()
    .domain([0, Math.max(4, max(values) ?? 0)])
    .range([1, 0]);
  const { height, y } = rowScale(values, scale);
  const pixels = (value: number) => String(Number(value.toFixed(1)));
  return {
    label: 'motion',
    height,
    said: `${span(values, pixels)} pixels from frame to frame`,
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

function span(values: readonly number[], format: (value: number) => string): string {
  return [...new Set([format(min(values) ?? 0), format(max(values) ?? 0)])].join(' to ');
}
