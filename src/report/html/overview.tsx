import type { ReportedSettings } from '../../domain/report.ts';
import { isFlagged } from '../arrangement.ts';
import { recordingColumns, type RecordingColumn } from '../recordingsTable.ts';
import { hasEntry, listed, sectionId, type PageRecording } from './pageRecording.ts';

interface OverviewProps {
  readonly settings: ReportedSettings;
  readonly rows: readonly PageRecording[];
}

/** Columns of lower rank say what hardly anybody compares. */
const lowestRank = 1;
/** Columns up to this rank leave where the page is not wide. */
const highestSpareRank = 2;

/** One line for each recording, with the columns of the terminal's table. */
export function Overview({ settings, rows }: OverviewProps) {
  const recordings = rows.map(({ recording }) => recording);
  const columns = recordingColumns(recordings, settings.shutterAngleDegrees).filter(
    ({ rank }) => rank >= lowestRank,
  );
  return (
    <table class="overview">
      <caption class="unseen">Every recording in one line</caption>
      <thead>
        <tr>
          <th scope="col">recording</th>
          {columns.map((column) => (
            <th scope="col" class={classes(column)}>
              {column.head}
            </th>
          ))}
        </tr>
      </thead>
      <tbody data-list="">
        {rows.map((row) => (
          <Row row={row} columns={columns} />
        ))}
      </tbody>
    </table>
  );
}

interface RowProps {
  readonly row: PageRecording;
  readonly columns: readonly RecordingColumn[];
}

function Row({ row, columns }: RowProps) {
  const { recording, index } = row;
  const flagged = isFlagged(recording);
  return (
    <tr class={flagged ? 'flagged' : undefined} {...listed(row)}>
      <th scope="row" class="name">
        {flagged && <span class="unseen">flagged: </span>}
        {hasEntry(recording) ? <a href={`#${sectionId(index)}`}>{recording.path}</a> : recording.path}
      </th>
      {columns.map((column) => {
        const text = column.cell(recording);
        const state = text === undefined ? 'unknown' : column.flagged?.(recording) === true ? 'alert' : '';
        return (
          <td class={classes(column, state)} data-label={column.head}>
            {text ?? '·'}
          </td>
        );
      })}
    </tr>
  );
}

function classes({ align, rank }: RecordingColumn, state = ''): string | undefined {
  const names = [align === 'right' && 'number', rank <= highestSpareRank && 'spare', state];
  return names.filter(Boolean).join(' ') || undefined;
}
