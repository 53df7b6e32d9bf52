import { createHash } from 'node:crypto';
import type { RecordingPictures } from '../../domain/pictures.ts';
import type { AuditDocument } from '../../document/auditDocument.ts';
import { auditInShort, type AuditInShort } from '../inShort.ts';
import { leftAsideText, noteTexts } from '../leftAside.ts';
import { accuracyEntries, methodEntries } from '../method.ts';
import { problemGroups } from '../problemGroups.ts';
import { Head } from './head.tsx';
import { List, Meanings, Method } from './lists.tsx';
import { pagePictures } from './pagePictures.ts';
import { partOf, repeatsItsSeries } from './partOf.ts';
import type { PageProps } from './pageRecording.ts';
import { Recordings } from './recordings.tsx';
import { renderInPieces } from './renderInPieces.ts';
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

/**
 * The whole audit as one page that needs nothing but itself, piece by piece: with pictures it is too large to be held
 * whole. Pictures are shown of the recordings that have some.
 */
export function* htmlReport(
  audited: AuditDocument,
  pictures: readonly RecordingPictures[] = [],
): Generator<string> {
  const document = auditInShort(audited);
  const chosen = pagePictures(audited.recordings, pictures);
  const recordings = document.recordings.map((recording) => ({
    recording,
    pictures: chosen[recording.index],
    partOf: partOf(recording.path, document.sequences),
    repeats: repeatsItsSeries(recording, document.sequences),
  }));
  yield '<!doctype html>\n';
  yield* renderInPieces((later) => <Page document={document} recordings={recordings} later={later} />);
  yield '\n';
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
          <Meanings kinds={kindsIn(document)} />
          <Method method={methodEntries(document)} accuracy={accuracyEntries} />
          <footer class="note">Audited {toTheMinute(document.generatedAt)} by Halfturn.</footer>
        </main>
        <script dangerouslySetInnerHTML={{ __html: pageScript }} />
      </body>
    </html>
  );
}

function kindsIn({ recordings, sequences }: AuditInShort) {
  return [
    ...new Set([...recordings, ...sequences].flatMap(({ findings }) => findings.map(({ kind }) => kind))),
  ];
}

/** "2026-05-14 18:02 UTC"; a time in another notation stays as it is. */
function toTheMinute(time: string): string {
  return time.replace(/^(\d{4}-\d\d-\d\d)T(\d\d:\d\d)[\d:.]*Z$/, '$1 $2 UTC');
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

function Rest({ document }: { readonly document: AuditInShort }) {
  const { problems, cautions } = document;
  const aside = [leftAsideText(document) ?? [], noteTexts(document)].flat();
  return (
    <>
      <List title="Problems" id="problems" entries={problemGroups(problems)} />
      <List title="Left aside" id="left-aside" entries={aside.map((text) => ({ text }))} />
      <List title="Before the next flight" id="cautions" entries={cautions.map((text) => ({ text }))} />
    </>
  );
}
