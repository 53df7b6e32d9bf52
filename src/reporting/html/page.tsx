import { createHash } from 'node:crypto';
import { renderToString } from 'preact-render-to-string';
import type { AuditDocument } from '../../domain/report.ts';
import {
  firstFew,
  isFlagged,
  remarksByKind,
  rowsAndQuietStills,
  withoutSharedFolder,
} from '../arrangement.ts';
import { problemText } from '../cautions.ts';
import { displayable } from '../displayable.ts';
import { findingTitles } from '../findingTitles.ts';
import {
  countSentence,
  flightSentence,
  leftAsideText,
  noteTexts,
  sequenceText,
  tableLegend,
} from '../flight.ts';
import { counted } from '../format.ts';
import { Overview } from './overview.tsx';
import { RecordingSection } from './recordingSection.tsx';
import { pageStyle } from './style.ts';

// Only this very style may act on the page; scripts, pictures and addresses from names or tags may not.
const contentSecurityPolicy = `default-src 'none'; style-src 'sha256-${createHash('sha256').update(pageStyle).digest('base64')}'; base-uri 'none'; form-action 'none'`;

/** The whole audit as one page that needs nothing but itself. */
export function htmlReport(audited: AuditDocument): string {
  const { document, folder } = withoutSharedFolder(displayable(audited));
  return `<!doctype html>\n${renderToString(<Page document={document} folder={folder} />)}\n`;
}

function Page({ document, folder }: { readonly document: AuditDocument; readonly folder: string }) {
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
        <main>
          <p class="eyebrow">Flight audit of {document.dump}</p>
          <h1>{countSentence(document)}</h1>
          <p class="lead">{flightSentence(document)}</p>
          <Recordings document={document} folder={folder} />
          <Rest document={document} />
          <footer class="note">
            Audited {document.generatedAt} by Halfturn, against {document.settings.shutterAngleDegrees}° and
            base ISO {document.settings.baseIso}.
          </footer>
        </main>
      </body>
    </html>
  );
}

function Recordings({ document, folder }: { readonly document: AuditDocument; readonly folder: string }) {
  const { recordings, settings } = document;
  if (recordings.length === 0) return null;
  const { rows, quietStills } = rowsAndQuietStills(recordings);
  const numbered = recordings.map((recording, index) => ({ recording, index }));
  const flagged = numbered.filter(({ recording }) => isFlagged(recording));
  const notes = [
    rows.length > 0 && tableLegend,
    quietStills > 0 && `${counted(quietStills, 'still')} without findings.`,
    folder !== '' && `All of it lies in ${folder}`,
  ].filter((note) => note !== false);
  return (
    <>
      <h2>Recordings</h2>
      {rows.length > 0 && (
        <Overview
          rows={numbered.filter(({ recording }) => rows.includes(recording))}
          targetDegrees={settings.shutterAngleDegrees}
        />
      )}
      {notes.map((note) => (
        <p class="note">{note}</p>
      ))}
      {flagged.length > 0 && <h2>Flagged</h2>}
      {flagged.map((each) => (
        <RecordingSection {...each} settings={settings} />
      ))}
    </>
  );
}

function Rest({ document }: { readonly document: AuditDocument }) {
  const { recordings, sequences, problems, cautions } = document;
  const remarks = remarksByKind(recordings).map(({ kind, paths }) => ({
    name: findingTitles[kind].title,
    text: firstFew(paths),
  }));
  const aside = leftAsideText(document);
  return (
    <>
      <List
        title="Problems"
        entries={problems.map((problem) => ({ name: problem.path, text: problemText(problem) }))}
      />
      <List title="Remarks" entries={remarks} />
      <List title="Series" entries={sequences.map((sequence) => ({ text: sequenceText(sequence) }))} />
      <List
        title="Left aside"
        entries={[aside ?? [], noteTexts(document)].flat().map((text) => ({ text }))}
      />
      <List title="Before the next flight" entries={cautions.map((text) => ({ text }))} />
    </>
  );
}

interface ListProps {
  readonly title: string;
  readonly entries: readonly { readonly name?: string; readonly text: string }[];
}

function List({ title, entries }: ListProps) {
  if (entries.length === 0) return null;
  return (
    <section>
      <h2>{title}</h2>
      <ul class="plain">
        {entries.map(({ name, text }) => (
          <li>
            {name !== undefined && <b>{name}: </b>}
            {text}
          </li>
        ))}
      </ul>
    </section>
  );
}
