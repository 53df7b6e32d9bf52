import type { ComponentChildren } from 'preact';
import type { ReportedRecording } from '../../domain/report.ts';
import { isFlagged } from '../arrangement.ts';
import { filterInShort } from '../filterWording.ts';
import { formatAngle, formatPercent, formatRate, formatShutter, formatStops } from '../format.ts';
import { sectionId } from './sectionId.ts';
import { ShutterDisc } from './shutterDisc.tsx';
import { shutterVerdict } from '../verdict.ts';

interface OverviewProps {
  readonly rows: readonly { readonly recording: ReportedRecording; readonly index: number }[];
  readonly targetDegrees: number;
}

/** One line for each recording. */
export function Overview({ rows, targetDegrees }: OverviewProps) {
  return (
    <table class="overview">
      <thead>
        <tr>
          <th scope="col">recording</th>
          {['frames/s', 'shutter', 'angle'].map(numberHead)}
          <th scope="col">against {formatAngle(targetDegrees)}</th>
          {['ISO', 'exposure', 'clipped'].map(numberHead)}
          <th scope="col">carry</th>
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <Row {...row} targetDegrees={targetDegrees} />
        ))}
      </tbody>
    </table>
  );
}

function numberHead(label: string) {
  return (
    <th scope="col" class="number">
      {label}
    </th>
  );
}

interface RowProps {
  readonly recording: ReportedRecording;
  readonly index: number;
  readonly targetDegrees: number;
}

function Row({ recording, index, targetDegrees }: RowProps) {
  const { path, facts, shutter, exposure, picture, filter } = recording;
  const flagged = isFlagged(recording);
  const found = (start: string) =>
    recording.findings.some(({ kind, weight }) => weight !== 'low' && kind.startsWith(start));
  const angle = shutter?.angleDegrees;
  return (
    <tr class={flagged ? 'flagged' : undefined}>
      <th scope="row" class="name">
        {flagged ? <a href={`#${sectionId(index)}`}>{path}</a> : path}
      </th>
      <Cell label="frames/s">{facts.framesPerSecond && formatRate(facts.framesPerSecond.value)}</Cell>
      <Cell label="shutter">{facts.exposureSeconds && formatShutter(facts.exposureSeconds.value)}</Cell>
      <Cell label="angle">
        {angle !== undefined && (
          <span>
            {formatAngle(angle)}
            <ShutterDisc angleDegrees={angle} targetDegrees={targetDegrees} off={found('shutter-')} />
          </span>
        )}
      </Cell>
      <Cell label={`against ${formatAngle(targetDegrees)}`} text alert={found('shutter-')}>
        {shutterVerdict(recording)}
      </Cell>
      <Cell label="ISO" alert={found('iso-')}>
        {facts.iso && Math.round(facts.iso.value)}
      </Cell>
      <Cell label="exposure" alert={found('too-')}>
        {exposure.offsetStops !== undefined && formatStops(exposure.offsetStops)}
      </Cell>
      <Cell label="clipped" alert={found('highlights-')}>
        {picture && formatPercent(picture.clippedFraction.max)}
      </Cell>
      <Cell label="carry" text>
        {filterInShort(filter)}
      </Cell>
    </tr>
  );
}

interface CellProps {
  readonly label: string;
  readonly text?: boolean;
  readonly alert?: boolean;
  readonly children: ComponentChildren;
}

function Cell({ label, text = false, alert = false, children }: CellProps) {
  const known = children !== undefined && children !== false;
  const names = [!text && 'number', !known && 'unknown', known && alert && 'alert'].filter(Boolean);
  return (
    <td class={names.join(' ') || undefined} data-label={label}>
      {known ? children : '·'}
    </td>
  );
}
