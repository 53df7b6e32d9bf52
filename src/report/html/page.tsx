import { createHash } from 'node:crypto';
import { renderToString } from 'preact-render-to-string';
import type { AuditDocument } from '../../document/auditDocument.ts';
import { capital } from '../../domain/format.ts';
import type { RecordingPictures } from '../../domain/measurement.ts';
import { displayedAudit } from '../arrangement.ts';
import { cautionLine, problemGroups, leftAsideTexts } from '../dumpWording.ts';
import { countSentence, flightLines, headlines } from '../flightSummary.ts';
import { useSentence, verdictLines } from '../flightVerdict.ts';
import { usesOf } from '../recordingUse.ts';
import { Keys } from './keys.tsx';
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
import { UseGroups } from './useGroups.tsx';

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

/**
 * The whole audit as one page that needs nothing but itself. Pictures are shown of the recordings that have some.
 * @param mediaAddress of the folder of the recordings, from where the page lies, with a slash at its end
 */
export function htmlReport(
  audited: AuditDocument,
  pictures: readonly RecordingPictures[] = [],
  mediaAddress?: string,
): string {
  const document = displayedAudit(audited);
  const uses = usesOf(document);
  const chosen = pagePictures(audited.recordings, pictures);
  const recordings = document.recordings.map((recording, index) => ({
    recording,
    index,
    use: uses[index],
    address: mediaAddress && `${mediaAddress}${encodedPath(audited.recordings[index]!.path)}`,
    pictures: chosen[index],
    partOf: partOf(recording.path, document.sequences),
    repeats: repeatsItsSeries(recording, document.sequences),
  }));
  return `<!doctype html>\n${renderToString(<Page document={document} recordings={recordings} />)}\n`;
}

function encodedPath(path: string): string {
  return path.split('/').map(encodeURIComponent).join('/');
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
          <Head document={document} />
          <UseGroups {...props} />
          <Jumps {...props} />
          <Recordings {...props} />
          <Flight document={document} />
          <List title="Problems" id="problems" entries={problemGroups(document.problems)} />
          <List title="Left aside" id="left-aside" entries={asEntries(leftAsideTexts(document))} />
          <List title="Before the next flight" id="cautions" entries={asEntries(document.cautions)} />
          <MeaningsAndMethod document={document} />
          <Keys />
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

/** The verdict: what there is of use, the best of it, what to carry and to change next time. */
function Head({ document }: Pick<PageProps, 'document'>) {
  const sentence = useSentence(document);
  const lines = verdictLines(document);
  return (
    <header class="head">
      <p class="eyebrow">Flight audit of {document.dump}</p>
      <h1>{sentence ?? countSentence(document)}</h1>
      {sentence !== undefined && <p class="note">{countSentence(document)}</p>}
      <dl class="flight">
        {lines.map(({ label, text }) => (
          <div>
            <dt>{verdictLabels[label]}</dt>
            <dd>{label === 'change' ? capital(text) : text}</dd>
          </div>
        ))}
      </dl>
      {lines.some(({ label }) => label === 'carry') && <p class="note">{cautionLine}</p>}
    </header>
  );
}

const verdictLabels = {
  lost: 'Lost',
  best: 'Best stretch',
  carry: 'Carry next time',
  change: 'Change',
} as const;

function Jumps({ document, recordings }: PageProps) {
  return (
    <nav class="jump" aria-label="In this report">
      {jumps(document, recordings).map(([id, title]) => (
        <a href={`#${id}`}>{title}</a>
      ))}
    </nav>
  );
}

/** What is to be said of the flight as a whole, for whoever asks. */
function Flight({ document }: Pick<PageProps, 'document'>) {
  const [facts, lines] = [flightLines(document), headlines(document)];
  if (facts.length === 0 && lines.length === 0) return null;
  return (
    <section aria-labelledby="matters">
      <h2 id="matters">The flight as a whole</h2>
      <ol class="matters">
        {lines.map(({ text, first }) => (
          <li>
            <a href={`#${targetOf(first)}`}>{text}</a>
          </li>
        ))}
      </ol>
      <dl class="flight">
        {facts.map(({ label, text }) => (
          <div>
            <dt>{label}</dt>
            <dd>{text}</dd>
          </div>
        ))}
      </dl>
    </section>
  );
}

function targetOf(place: ReturnType<typeof headlines>[number]['first']): string {
  if (place === undefined) return 'problems';
  return (place.list === 'recordings' ? sectionId : seriesId)(place.index);
}

function jumps(document: AuditDocument, recordings: readonly PageRecording[]) {
  const all: readonly (readonly [id: string, title: string, there: boolean])[] = [
    ['recordings', 'All in one table', recordings.length > 0],
    ['entries', 'One by one', recordings.some(({ recording }) => hasEntry(recording))],
    ['series', 'Groups of stills', document.sequences.length > 0],
    ['matters', 'The flight as a whole', true],
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
