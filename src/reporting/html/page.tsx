import { createHash } from 'node:crypto';
import { renderToString } from 'preact-render-to-string';
import type { RecordingPictures } from '../../domain/pictures.ts';
import type { AuditDocument } from '../../domain/report.ts';
import { isFlagged, rowsAndQuietStills, withoutSharedFolder } from '../arrangement.ts';
import { problemText } from '../cautions.ts';
import { displayable } from '../displayable.ts';
import { countSentence, flightSentence, leftAsideText, noteTexts, tableLegend } from '../flight.ts';
import { counted } from '../format.ts';
import { accuracyEntries, methodEntries } from '../method.ts';
import { topMatters } from '../topMatters.ts';
import { ContactSheet } from './contactSheet.tsx';
import { List, Method } from './lists.tsx';
import { Overview } from './overview.tsx';
import { pagePictures } from './pagePictures.ts';
import { partOf } from './partOf.ts';
import { hasEntry, sectionId, type PageRecording } from './pageRecording.ts';
import { RecordingEntry } from './recordingEntry.tsx';
import { pageScript } from './script.ts';
import { SequenceEntry } from './sequenceEntry.tsx';
import { pageStyle } from './style.ts';
import { Toolbar } from './toolbar.tsx';

const sha256 = (text: string) => `'sha256-${createHash('sha256').update(text).digest('base64')}'`;
// Only this very style and script may act on the page, and pictures only lie inside it; whatever a name or tag holds
// can neither run nor fetch.
const contentSecurityPolicy = [
  "default-src 'none'",
  `style-src ${sha256(pageStyle)}`,
  `script-src ${sha256(pageScript)}`,
  'img-src data:',
  "base-uri 'none'",
  "form-action 'none'",
].join('; ');

/** The whole audit as one page that needs nothing but itself. Pictures are shown of the recordings that have some. */
export function htmlReport(audited: AuditDocument, pictures: readonly RecordingPictures[] = []): string {
  const { document, folder } = withoutSharedFolder(displayable(audited));
  const chosen = pagePictures(audited.recordings, pictures);
  const recordings = document.recordings.map((recording, index) => ({
    recording,
    index,
    pictures: chosen[index],
    partOf: partOf(recording.path, document.sequences),
  }));
  const page = <Page document={document} folder={folder} recordings={recordings} />;
  return `<!doctype html>\n${renderToString(page)}\n`;
}

interface PageProps {
  readonly document: AuditDocument;
  readonly folder: string;
  readonly recordings: readonly PageRecording[];
}

function Page(props: PageProps) {
  const { document } = props;
  return (
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta http-equiv="Content-Security-Policy" content={contentSecurityPolicy} />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta name="referrer" content="no-referrer" />
        <title>{`Flight audit of ${document.dump}`}</title>
        <style dangerouslySetInnerHTML={{ __html: pageStyle }} />
      </head>
      <body>
        <Patterns />
        <main>
          <Head {...props} />
          <Recordings {...props} />
          <Rest document={document} />
          <Method method={methodEntries(document)} accuracy={accuracyEntries} />
          <footer class="note">Audited {document.generatedAt} by Halfturn.</footer>
        </main>
        <script dangerouslySetInnerHTML={{ __html: pageScript }} />
      </body>
    </html>
  );
}

/** Marked stretches differ by pattern as well as by colour. */
function Patterns() {
  return (
    <svg class="patterns" width="0" height="0" aria-hidden="true">
      <pattern id="slanted" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
        <rect width="2.5" height="5" />
      </pattern>
      <pattern id="upright" width="4" height="6" patternUnits="userSpaceOnUse">
        <rect width="2" height="6" />
      </pattern>
    </svg>
  );
}

function Head({ document, recordings }: PageProps) {
  const matters = topMatters(document);
  return (
    <header class="head">
      <p class="eyebrow">Flight audit of {document.dump}</p>
      <h1>{countSentence(document)}</h1>
      <p class="lead">{flightSentence(document)}</p>
      {matters.length > 0 && (
        <section aria-labelledby="matters">
          <h2 id="matters">What matters most</h2>
          <ol class="matters">
            {matters.map(({ text, recordings: about }) => {
              const index = about[0] && document.recordings.indexOf(about[0]);
              const target = index === undefined ? 'problems' : sectionId(index);
              return (
                <li>
                  <a href={`#${target}`}>{text}</a>
                </li>
              );
            })}
          </ol>
        </section>
      )}
      <nav class="jump" aria-label="In this report">
        {jumps(document, recordings).map(([id, title]) => (
          <a href={`#${id}`}>{title}</a>
        ))}
      </nav>
    </header>
  );
}

function jumps(document: AuditDocument, recordings: readonly PageRecording[]) {
  const pictured = recordings.some(({ pictures }) => pictures !== undefined);
  const all: readonly (readonly [id: string, title: string, there: boolean])[] = [
    ['contact-sheet', 'Contact sheet', pictured],
    ['recordings', 'All in one table', recordings.length > 0],
    ['entries', 'One by one', recordings.some(({ recording }) => hasEntry(recording))],
    ['series', 'Series and brackets', document.sequences.length > 0],
    ['problems', 'Problems', document.problems.length > 0],
    ['method', 'Method and accuracy', true],
  ];
  return all.filter(([, , there]) => there);
}

function Recordings({ document, folder, recordings }: PageProps) {
  if (recordings.length === 0) return null;
  const { rows, quietStills } = rowsAndQuietStills(document.recordings);
  const entries = recordings.filter(({ recording }) => hasEntry(recording));
  const notes = [
    rows.length > 0 && tableLegend,
    quietStills > 0 && `${counted(quietStills, 'still')} without findings.`,
  ].filter((note) => note !== false);
  return (
    <>
      <Toolbar recordings={document.recordings} />
      <ContactSheet recordings={recordings} />
      <section aria-labelledby="recordings">
        <h2 id="recordings">All in one table</h2>
        {folder !== '' && <p class="note">All of it lies in {folder}</p>}
        {rows.length > 0 && (
          <Overview
            rows={recordings.filter(({ recording }) => rows.includes(recording))}
            targetDegrees={document.settings.shutterAngleDegrees}
          />
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
              <RecordingEntry entry={entry} settings={document.settings} />
            ))}
          </div>
        </section>
      )}
      {document.sequences.length > 0 && (
        <section class="entries" aria-labelledby="series">
          <h2 id="series">Series and brackets</h2>
          {document.sequences.map((sequence) => (
            <SequenceEntry sequence={sequence} recordings={recordings} />
          ))}
        </section>
      )}
    </>
  );
}

function flaggedNote(entries: readonly PageRecording[]): string {
  const flagged = entries.filter(({ recording }) => isFlagged(recording)).length;
  return `${counted(entries.length, 'recording')}, ${flagged} of them flagged. A time plot runs from the start of a clip to its end; the band behind a line is what is wanted.`;
}

function Rest({ document }: { readonly document: AuditDocument }) {
  const { problems, cautions } = document;
  const aside = [leftAsideText(document) ?? [], noteTexts(document)].flat();
  return (
    <>
      <List
        title="Problems"
        id="problems"
        entries={problems.map((problem) => ({ name: problem.path, text: problemText(problem) }))}
      />
      <List title="Left aside" id="left-aside" entries={aside.map((text) => ({ text }))} />
      <List title="Before the next flight" id="cautions" entries={cautions.map((text) => ({ text }))} />
    </>
  );
}
