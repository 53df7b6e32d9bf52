import type { ComponentChildren } from 'preact';
import { isFlagged } from '../arrangement.ts';
import { filterInShort } from '../filterWording.ts';
import { formatAngle, formatDuration, formatPercent, formatRate, formatStops } from '../format.ts';
import { shownAngle, shownShutter } from '../shutterNotation.ts';
import { shutterVerdict } from '../verdict.ts';
import { hasEntry, listed, sectionId, type PageRecording } from './pageRecording.ts';

interface OverviewProps {
  readonly rows: readonly PageRecording[];
  readonly targetDegrees: number;
}

/** One line for each recording. */
export function Overview({ rows, targetDegrees }: OverviewProps) {
  return (
    <table class="overview">
      <caption class="unseen">Every recording in one line</caption>
      <thead>
        <tr>
          <th scope="col">recording</th>
          {['length', 'frames/s', 'shutter', 'angle'].map(numberHead)}
          <th scope="col">against {formatAngle(targetDegrees)}</th>
          {['ISO', 'exposure', 'clipped'].map(numberHead)}
          <th scope="col">carry</th>
        </tr>
      </thead>
      <tbody data-list="">
        {rows.map((row) => (
          <Row row={row} targetDegrees={targetDegrees} />
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

function Row({ row, targetDegrees }: { readonly row: PageRecording; readonly targetDegrees: number }) {
  const { recording, index } = row;
  const { path, facts, exposure, picture, filter } = recording;
  const flagged = isFlagged(recording);
  const found = (start: string) =>
    recording.findings.some(({ kind, weight }) => weight !== 'low' && kind.startsWith(start));
  return (
    <tr class={flagged ? 'flagged' : undefined} {...listed(row)}>
      <th scope="row" class="name">
        {flagged && <span class="unseen">flagged: </span>}
        {hasEntry(recording) ? <a href={`#${sectionId(index)}`}>{path}</a> : path}
      </th>
      <Cell label="length">{facts.durationSeconds && formatDuration(facts.durationSeconds.value)}</Cell>
      <Cell label="frames/s">{facts.framesPerSecond && formatRate(facts.framesPerSecond.value)}</Cell>
      <Cell label="shutter">{shownShutter(recording)}</Cell>
      <Cell label="angle">{shownAngle(recording)}</Cell>
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
