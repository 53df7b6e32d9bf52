import { isFlagged, rowsAndQuietStills } from '../arrangement.ts';
import { counted } from '../../domain/format.ts';
import { tableLegend } from '../tableLegend.ts';
import { ContactSheet } from './contactSheet.tsx';
import { Overview } from './overview.tsx';
import { hasEntry, type PageProps, type PageRecording } from './pageRecording.ts';
import { RecordingEntry } from './recordingEntry.tsx';
import { SequenceEntry } from './sequenceEntry.tsx';
import { Toolbar } from './toolbar.tsx';

/** Every recording: in pictures, in one table, one by one, and in its series. */
export function Recordings({ document, recordings, later }: PageProps) {
  if (recordings.length === 0) return null;
  const { folder, settings, sequences, whole } = document;
  const { rows, quietStills } = rowsAndQuietStills(document.recordings);
  const entries = recordings.filter(({ recording }) => hasEntry(recording));
  const notes = [
    rows.length > 0 && tableLegend(rows),
    quietStills > 0 && `${counted(quietStills, 'still')} without findings of their own.`,
  ].filter((note) => note !== false);
  return (
    <>
      <Toolbar recordings={document.recordings} sequences={sequences} />
      <ContactSheet recordings={recordings} later={later} />
      <section aria-labelledby="recordings">
        <h2 id="recordings">All in one table</h2>
        {folder !== '' && <p class="note">All of it lies in {folder}</p>}
        {rows.length > 0 && <Overview document={document} rows={rows} later={later} />}
        {notes.map((note) => (
          <p class="note">{note}</p>
        ))}
      </section>
      {entries.length > 0 && (
        <section class="entries" aria-labelledby="entries">
          <h2 id="entries">One by one</h2>
          <p class="note">{flaggedNote(entries)}</p>
          <div data-list="">
            {later(entries, (entry) => (
              <RecordingEntry entry={entry} whole={whole(entry.recording.index)} settings={settings} />
            ))}
          </div>
        </section>
      )}
      {sequences.length > 0 && (
        <section class="entries" aria-labelledby="series">
          <h2 id="series">Series and brackets</h2>
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
