import { scaleLinear } from 'd3-scale';
import type { ReportedRecording } from '../../document/reportedRecording.ts';
import type { ReportedSettings } from '../../document/auditDocument.ts';
import { formatDuration, formatSpan } from '../../domain/format.ts';
import { markTitles, type Mark } from '../marks.ts';
import { plotUnits, share, plotRows, type PlotRow } from './plotRows.ts';

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
  const rows = plotRows(recording, settings);
  if (duration === undefined || (rows.length === 0 && marks.every(({ kind }) => kind === 'usable')))
    return null;
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
      aria-label={inWords(rows, marks, duration)}
    >
      {kinds.map((kind, at) => (
        <MarkLine
          kind={kind}
          marks={marks.filter((mark) => mark.kind === kind)}
          duration={duration}
          top={at * markHeight}
        />
      ))}
      {rows.map((row, at) => (
        <Row row={row} top={tops[at]!} />
      ))}
      <Axis duration={duration} top={axisTop} />
    </svg>
  );
}

function inWords(rows: readonly PlotRow[], marks: readonly Mark[], duration: number): string {
  const spans = marks.map((mark) => `${markTitles[mark.kind]} ${formatSpan(mark)}`);
  const lines = rows.map(({ label, summary }) => `${label} ${summary}`);
  return `Over ${formatDuration(duration)}: ${[...spans, ...lines].join('; ')}.`;
}

const percent = (fraction: number) => `${(fraction * 100).toFixed(2)}%`;

interface MarkLineProps {
  readonly kind: Mark['kind'];
  readonly marks: readonly Mark[];
  readonly duration: number;
  readonly top: number;
}

function MarkLine({ kind, marks, duration, top }: MarkLineProps) {
  return (
    <g class={`mark ${kind}`}>
      <text x="0" y={top + 10}>
        {markTitles[kind]}
      </text>
      <text class="end" x="100%" y={top + 10}>
        {spansInWords(marks, duration)}
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

function spansInWords(marks: readonly Mark[], duration: number): string {
  const [first] = marks;
  if (marks.length === 1 && first!.startSeconds === 0 && first!.endSeconds === duration) return 'all of it';
  return marks.length > 3 ? `${marks.length} stretches` : marks.map(formatSpan).join(', ');
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

function Axis({ duration, top }: { readonly duration: number; readonly top: number }) {
  const ticks = scaleLinear().domain([0, duration]).ticks(5);
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
              {seconds < 60 ? `${Number(seconds.toFixed(3))} s` : formatDuration(seconds)}
            </text>
          </>
        );
      })}
    </g>
  );
}
