import type { ReportedRecording } from '../../document/reportedRecording.ts';
import { isFlagged } from '../arrangement.ts';
import { wholes, type AuditInShort, type RecordingInShort } from '../inShort.ts';
import { tableColumns, tellingColumns, type TableColumn } from '../tableColumns.ts';
import { hasEntry, listed, sectionId } from './pageRecording.ts';
import type { Later } from './renderInPieces.ts';

interface OverviewProps {
  readonly document: AuditInShort;
  readonly rows: readonly RecordingInShort[];
  readonly later: Later;
}

/** Columns of lower rank say what hardly anybody compares. */
const lowestRank = 1;
/** Columns up to this rank leave where the page is not wide. */
const highestSpareRank = 2;

/** One line for each recording, with the columns of the terminal's table. */
export function Overview({ document, rows, later }: OverviewProps) {
  const columns = tellingColumns(
    tableColumns(document.settings.shutterAngleDegrees).filter(({ rank }) => rank >= lowestRank),
    wholes(document, rows),
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
        {later(rows, (row) => (
          <Row row={row} whole={document.whole(row.index)} columns={columns} />
        ))}
      </tbody>
    </table>
  );
}

interface RowProps {
  readonly row: RecordingInShort;
  readonly whole: ReportedRecording;
  readonly columns: readonly TableColumn[];
}

function Row({ row, whole, columns }: RowProps) {
  const flagged = isFlagged(row);
  return (
    <tr class={flagged ? 'flagged' : undefined} {...listed(row)}>
      <th scope="row" class="name">
        {flagged && <span class="unseen">flagged: </span>}
        {hasEntry(row) ? <a href={`#${sectionId(row.index)}`}>{row.path}</a> : row.path}
      </th>
      {columns.map((column) => {
        const text = column.cell(whole);
        const state = text === undefined ? 'unknown' : column.flagged?.(whole) === true ? 'alert' : '';
        return (
          <td class={classes(column, state)} data-label={column.head}>
            {text ?? '·'}
          </td>
        );
      })}
    </tr>
  );
}

function classes({ align, rank }: TableColumn, state = ''): string | undefined {
  const names = [align === 'right' && 'number', rank <= highestSpareRank && 'spare', state];
  return names.filter(Boolean).join(' ') || undefined;
}
