import { createHash } from 'node:crypto';
import { renderToString } from 'preact-render-to-string';
import type { AuditDocument } from '../../document/auditDocument.ts';
import type { RecordingPictures } from '../../domain/measurement.ts';
import { displayedAudit } from '../arrangement.ts';
import { problemGroups, leftAsideTexts } from '../dumpWording.ts';
import { countSentence, flightLines, headlines } from '../flightSummary.ts';
import { MeaningsAndMethod } from './methodSection.tsx';
import { pagePictures } from './pagePictures.tsx';
import {
  partOf,
  repeatsItsSeries,
  hasEntry,
  sectionId,
  seriesId,
  type PageProps,
  type PageRecording,
} from './pageRecording.ts';
import { Recordings } from './recordingLists.tsx';
import { pageScript } from './script.ts';
import { pageStyle } from './style.ts';

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
  const document = displayedAudit(audited);
  const chosen = pagePictures(audited.recordings, pictures);
  const recordings = document.recordings.map((recording, index) => ({
    recording,
    index,
    pictures: chosen[index],
    partOf: partOf(recording.path, document.sequences),
    repeats: repeatsItsSeries(recording, document.sequences),
  }));
  return `<!doctype html>\n${renderToString(<Page document={document} recordings={recordings} />)}\n`;
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
          <List title="Problems" id="problems" entries={problemGroups(document.problems)} />
          <List title="Left aside" id="left-aside" entries={asEntries(leftAsideTexts(document))} />
          <List title="Before the next flight" id="cautions" entries={asEntries(document.cautions)} />
          <MeaningsAndMethod document={document} />
          <footer class="note">Audited {toTheMinute(document.generatedAt)} by Halfturn.</footer>
        </main>
        <script dangerouslySetInnerHTML={{ __html: pageScript }} />
      </body>
    </html>
  );
}

/** "2026-05-14 18:02 UTC"; a time in another notation stays as it is. */
function toTheMinute(time: string): string {
  return time.replace(/^(\d{4}-\d\d-\d\d)T(\d\d:\d\d)[\d:.]*Z$/, '$1 $2 UTC');
}

/** What there is, what matters most, and where to go. */
function Head({ document, recordings }: PageProps) {
  const lines = headlines(document);
  return (
    <header class="head">
      <p class="eyebrow">Flight audit of {document.dump}</p>
      <h1>{countSentence(document)}</h1>
      <dl class="flight">
        {flightLines(document).map(({ label, text }) => (
          <div>
            <dt>{label}</dt>
            <dd>{text}</dd>
          </div>
        ))}
      </dl>
      {lines.length > 0 && (
        <section aria-labelledby="matters">
          <h2 id="matters">What matters most</h2>
          <ol class="matters">
            {lines.map(({ text, first }) => (
              <li>
                <a href={`#${targetOf(first)}`}>{text}</a>
              </li>
            ))}
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

function targetOf(place: ReturnType<typeof headlines>[number]['first']): string {
  if (place === undefined) return 'problems';
  return (place.list === 'recordings' ? sectionId : seriesId)(place.index);
}

function jumps(document: AuditDocument, recordings: readonly PageRecording[]) {
  const pictured = recordings.some(({ pictures }) => pictures !== undefined);
  const all: readonly (readonly [id: string, title: string, there: boolean])[] = [
    ['contact-sheet', 'Contact sheet', pictured],
    ['recordings', 'All in one table', recordings.length > 0],
    ['entries', 'One by one', recordings.some(({ recording }) => hasEntry(recording))],
    ['series', 'Groups of stills', document.sequences.length > 0],
    ['problems', 'Problems', document.problems.length > 0],
    ['method', 'Method and accuracy', true],
  ];
  return all.filter(([, , there]) => there);
}

function asEntries(texts: readonly string[]): ListProps['entries'] {
  return texts.map((text) => ({ text }));
}

interface ListProps {
  readonly title: string;
  readonly id: string;
  readonly entries: readonly { readonly name?: string; readonly text: string }[];
}

/** A titled list of sentences; nothing where there is none. */
function List({ title, id, entries }: ListProps) {
  if (entries.length === 0) return null;
  return (
    <section aria-labelledby={id}>
      <h2 id={id}>{title}</h2>
      <ul class="plain">
        {entries.map(({ name, text }) => (
          <li>
            {name !== undefined && <b>{name} </b>}
            {text}
          </li>
        ))}
      </ul>
    </section>
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
