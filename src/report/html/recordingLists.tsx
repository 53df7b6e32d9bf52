import type { AuditDocument, ReportedSettings } from '../../document/auditDocument.ts';
import { counted } from '../../domain/format.ts';
import { findingTitle } from '../../findings/index.ts';
import { isFlagged, rowsAndQuietStills } from '../arrangement.ts';
import { useNames, uses, type Use } from '../recordingUse.ts';
import { recordingColumns, tableLegend } from '../recordingsTable.ts';
import { sequenceNames } from '../sequenceWording.ts';
import { arrangedEntries } from './arrangedEntries.ts';
import { RecordingEntry } from './entries.tsx';
import { SequenceEntry } from './sequenceEntry.tsx';
import {
  hasEntry,
  isVisiblyFaulty,
  scriptData,
  sectionId,
  type PageProps,
  type PageRecording,
} from './pageRecording.ts';

/** Every recording: in one table, one by one, and in its series. */
export function Recordings({ document, recordings }: PageProps) {
  if (recordings.length === 0) return null;
  const { folder, settings, sequences } = document;
  const { rows, quietStills } = rowsAndQuietStills(document.recordings);
  const inTable = new Set(rows);
  const entries = recordings.filter(({ recording }) => hasEntry(recording));
  const { opened, firstAlike } = arrangedEntries(entries, settings);
  const notes = [
    rows.length > 0 && tableLegend(rows, 'an audience will see it'),
    quietStills > 0 && `${counted(quietStills, 'still')} without findings of their own.`,
  ].filter((note) => note !== false);
  return (
    <>
      <Toolbar
        recordings={document.recordings}
        sequences={sequences}
        uses={recordings.map(({ use }) => use)}
      />
      <section aria-labelledby="recordings">
        <h2 id="recordings">All in one table</h2>
        {folder !== '' && <p class="note">All of it lies in {folder}</p>}
        {rows.length > 0 && (
          <Tables settings={settings} rows={recordings.filter(({ recording }) => inTable.has(recording))} />
        )}
        {notes.map((note) => (
          <p class="note">{note}</p>
        ))}
      </section>
      {entries.length > 0 && (
        <section class="entries" aria-labelledby="entries">
          <h2 id="entries">One by one</h2>
          <p class="note">{flaggedNote(entries)}</p>
          <div data-list="">
            {entries.map((entry) => (
              <RecordingEntry
                entry={entry}
                settings={settings}
                isOpen={opened.has(entry)}
                sameAs={firstAlike.get(entry)}
              />
            ))}
          </div>
        </section>
      )}
      {sequences.length > 0 && (
        <section class="entries" aria-labelledby="series">
          <h2 id="series">Groups of stills</h2>
          <div data-list="">
            {sequences.map((sequence, index) => (
              <SequenceEntry sequence={sequence} index={index} recordings={recordings} kit={settings} />
            ))}
          </div>
        </section>
      )}
    </>
  );
}

function flaggedNote(entries: readonly PageRecording[]): string {
  const flagged = entries.filter(({ recording }) => isFlagged(recording)).length;
  return `${counted(entries.length, 'recording')}, ${flagged === 0 ? 'none' : flagged} of them flagged. A time plot runs from the start of a clip to its end; the band behind a line is what is wanted.`;
}

interface ToolbarProps extends Pick<AuditDocument, 'recordings' | 'sequences'> {
  /** Of each recording. */
  readonly uses: readonly (Use | undefined)[];
}

/** Filter and order. Hidden until the script shows it, since it does nothing without. */
function Toolbar({ recordings, sequences, uses: inUse }: ToolbarProps) {
  const all = [...recordings, ...sequences];
  const kinds = [...new Set(all.flatMap(({ findings }) => findings.map(({ kind }) => kind)))];
  const having = (kind: string) =>
    all.filter(({ findings }) => findings.some((finding) => finding.kind === kind)).length;
  return (
    <div
      class="tools"
      role="group"
      aria-label="Filter and order of the recordings"
      data-total={recordings.length}
      data-series-word={wordFor(sequences)}
      hidden
    >
      <label for="show">
        Show{' '}
        <select id="show">
          <option value="">everything</option>
          <option value="flagged">what is flagged ({all.filter(isFlagged).length})</option>
          {uses.map((use) => (
            <option value={use}>
              to {useNames[use]} ({inUse.filter((each) => each === use).length})
            </option>
          ))}
          {kinds.map((kind) => (
            <option value={kind}>
              {findingTitle(kind)} ({having(kind)})
            </option>
          ))}
        </select>
      </label>
      <label for="order">
        Order{' '}
        <select id="order">
          <option value="shot">as shot</option>
          <option value="serious">most serious first</option>
          <option value="clipped">most clipped first</option>
          <option value="shutter">shutter farthest off first</option>
        </select>
      </label>
      <span id="said" role="status" />
      <button type="button" id="ask-keys">
        Keys <kbd>?</kbd>
      </button>
    </div>
  );
}

function wordFor(sequences: ToolbarProps['sequences']): string {
  const kinds = new Set(sequences.map(({ kind }) => kind));
  const [kind] = kinds;
  if (kind === undefined || kinds.size > 1) return 'groups of stills';
  const { singular, plural } = sequenceNames[kind];
  return sequences.length === 1 ? singular : plural;
}

type RecordingColumn = ReturnType<typeof recordingColumns>[number];

/** Columns of lower rank say what hardly anybody compares. */
const lowestRank = 1;
/** Columns up to this rank leave where the page is not wide. */
const highestSpareRank = 2;
/** Columns up to this rank stand on a phone only where they are flagged. */
const highestLesserRank = 4;

interface TableProps {
  readonly settings: ReportedSettings;
  readonly rows: readonly PageRecording[];
}

/** Up to so many that nothing flags stand between the others; more are folded away. */
const mostQuietRows = 12;

function Tables({ settings, rows }: TableProps) {
  const quiet = rows.filter(({ recording }) => !isFlagged(recording));
  if (quiet.length <= mostQuietRows) return <Overview settings={settings} rows={rows} />;
  const flagged = rows.filter(({ recording }) => isFlagged(recording));
  return (
    <>
      {flagged.length > 0 && <Overview settings={settings} rows={flagged} />}
      <details>
        <summary>{counted(quiet.length, 'recording')} with nothing flagged</summary>
        <Overview settings={settings} rows={quiet} />
      </details>
    </>
  );
}

/** One line for each recording, with the columns of the terminal's table. */
function Overview({ settings, rows }: TableProps) {
  const recordings = rows.map(({ recording }) => recording);
  const all = recordingColumns(recordings, settings.shutterAngleDegrees);
  const columns = all.filter(({ rank }) => rank >= lowestRank);
  return (
    <table class="overview">
      <caption class="unseen">A line for each recording</caption>
      <thead>
        <tr>
          <th scope="col">recording</th>
          <th scope="col">for</th>
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

function Row({ row, columns }: { row: PageRecording; columns: readonly RecordingColumn[] }) {
  const { recording, index, use } = row;
  const flagged = isFlagged(recording);
  return (
    <tr class={flagged && isVisiblyFaulty(row) ? 'flagged' : undefined} {...scriptData(row)}>
      <th scope="row" class="name">
        {flagged && <span class="unseen">flagged: </span>}
        {hasEntry(recording) ? <a href={`#${sectionId(index)}`}>{recording.path}</a> : recording.path}
      </th>
      <td class="for" data-label="for">
        {use === undefined ? '·' : useNames[use]}
      </td>
      {columns.map((column) => {
        const text = column.cell(recording);
        const state = text === undefined ? 'unknown' : isAlert(column, row) ? 'alert' : '';
        return (
          <td class={classes(column, state)} data-label={column.head}>
            {text ?? '·'}
          </td>
        );
      })}
    </tr>
  );
}

/** Red stands where an audience will see it. */
function isAlert(column: RecordingColumn, row: PageRecording): boolean {
  return isVisiblyFaulty(row) && column.flagged?.(row.recording) === true;
}

function classes({ align, rank }: RecordingColumn, state = ''): string | undefined {
  const names = [
    align === 'right' && 'number',
    rank <= highestSpareRank && 'spare',
    rank <= highestLesserRank && 'lesser',
    state,
  ];
  return names.filter(Boolean).join(' ') || undefined;
}
