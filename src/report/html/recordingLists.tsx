import type { AuditDocument, ReportedSettings } from '../../document/auditDocument.ts';
import { counted } from '../../domain/format.ts';
import { findingTitle } from '../../findings/index.ts';
import { isFlagged, rowsAndQuietStills } from '../arrangement.ts';
import { recordingColumns, tableLegend } from '../recordingsTable.ts';
import { sequenceNames } from '../sequenceWording.ts';
import { PathName, RecordingEntry, SequenceEntry } from './entries.tsx';
import { middlePicture, Picture } from './pagePictures.tsx';
import {
  hasEntry,
  findingsTitle,
  scriptData,
  sectionId,
  seriesId,
  type PageProps,
  type PageRecording,
} from './pageRecording.ts';

/** Every recording: in pictures, in one table, one by one, and in its series. */
export function Recordings({ document, recordings }: PageProps) {
  if (recordings.length === 0) return null;
  const { folder, settings, sequences } = document;
  const { rows, quietStills } = rowsAndQuietStills(document.recordings);
  const inTable = new Set(rows);
  const entries = recordings.filter(({ recording }) => hasEntry(recording));
  const notes = [
    rows.length > 0 && tableLegend(rows),
    quietStills > 0 && `${counted(quietStills, 'still')} without findings of their own.`,
  ].filter((note) => note !== false);
  return (
    <>
      <Toolbar recordings={document.recordings} sequences={sequences} />
      <ContactSheet recordings={recordings} />
      <section aria-labelledby="recordings">
        <h2 id="recordings">All in one table</h2>
        {folder !== '' && <p class="note">All of it lies in {folder}</p>}
        {rows.length > 0 && (
          <Overview settings={settings} rows={recordings.filter(({ recording }) => inTable.has(recording))} />
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
              <RecordingEntry entry={entry} settings={settings} />
            ))}
          </div>
        </section>
      )}
      {sequences.length > 0 && (
        <section class="entries" aria-labelledby="series">
          <h2 id="series">Groups of stills</h2>
          <div data-list="">
            {sequences.map((sequence, index) => (
              <SequenceEntry sequence={sequence} index={index} recordings={recordings} />
            ))}
          </div>
        </section>
      )}
    </>
  );
}

function flaggedNote(entries: readonly PageRecording[]): string {
  const flagged = entries.filter(({ recording }) => isFlagged(recording)).length;
  return `${counted(entries.length, 'recording')}, ${flagged} of them flagged. A time plot runs from the start of a clip to its end; the band behind a line is what is wanted.`;
}

type ToolbarProps = Pick<AuditDocument, 'recordings' | 'sequences'>;

/** Filter and order. Hidden until the script shows it, since it does nothing without. */
function Toolbar({ recordings, sequences }: ToolbarProps) {
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
      <span class="keys">
        In the entries, <kbd>j</kbd> and <kbd>k</kbd> go on and back.
      </span>
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

/** One small picture of every recording, with its name and what is wrong with it; one for a whole interval series. */
function ContactSheet({ recordings }: Pick<PageProps, 'recordings'>) {
  if (recordings.every(({ pictures }) => pictures === undefined)) return null;
  return (
    <section aria-labelledby="contact-sheet">
      <h2 id="contact-sheet">Contact sheet</h2>
      <ul class="sheet" data-list="">
        {recordings
          .filter(({ repeats }) => !repeats)
          .map((each) => (
            <Tile {...each} />
          ))}
      </ul>
    </section>
  );
}

function Tile(each: PageRecording) {
  const { recording, pictures, partOf } = each;
  const picture = pictures && middlePicture(pictures);
  const entry = entryOf(each);
  const series = partOf !== undefined && !isFlagged(recording) && isFlagged(partOf) ? partOf : undefined;
  const flagged = isFlagged(recording) || series !== undefined;
  const inside = (
    <>
      {picture === undefined ? <span class="blank">no picture</span> : <Picture picture={picture} />}
      <span class={flagged ? 'name flagged' : 'name'}>
        <PathName path={recording.path} />
      </span>
      <span class="what">
        {/* Nobody looked for clipping or motion in a picture that could not be decoded. */}
        {findingsTitle(series ?? recording) ??
          partOf?.text ??
          (recording.picture === undefined ? 'not measured' : 'nothing found')}
      </span>
    </>
  );
  return (
    <li {...scriptData(each, partOf?.findings)}>
      {entry === undefined ? <div>{inside}</div> : <a href={`#${entry}`}>{inside}</a>}
    </li>
  );
}

/** Where more is said of it: its own entry, or that of the series that it is a part of. */
function entryOf({ recording, index, partOf }: PageRecording): string | undefined {
  if (hasEntry(recording)) return sectionId(index);
  return partOf && seriesId(partOf.index);
}

type RecordingColumn = ReturnType<typeof recordingColumns>[number];

/** Columns of lower rank say what hardly anybody compares. */
const lowestRank = 1;
/** Columns up to this rank leave where the page is not wide. */
const highestSpareRank = 2;

/** One line for each recording, with the columns of the terminal's table. */
function Overview({ settings, rows }: { settings: ReportedSettings; rows: readonly PageRecording[] }) {
  const recordings = rows.map(({ recording }) => recording);
  const all = recordingColumns(recordings, settings.shutterAngleDegrees);
  const columns = all.filter(({ rank }) => rank >= lowestRank);
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

function Row({ row, columns }: { row: PageRecording; columns: readonly RecordingColumn[] }) {
  const { recording, index } = row;
  const flagged = isFlagged(recording);
  return (
    <tr class={flagged ? 'flagged' : undefined} {...scriptData(row)}>
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
