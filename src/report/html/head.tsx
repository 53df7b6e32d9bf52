import { countSentence, flightLines } from '../flight.ts';
import type { AuditDocument } from '../../domain/report.ts';
import { topMatters, type PlaceInDocument } from '../topMatters.ts';
import { hasEntry, sectionId, seriesId, type PageProps, type PageRecording } from './pageRecording.ts';

/** What there is, what matters most, and where to go. */
export function Head({ document, recordings }: PageProps) {
  const matters = topMatters(document);
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
      {matters.length > 0 && (
        <section aria-labelledby="matters">
          <h2 id="matters">What matters most</h2>
          <ol class="matters">
            {matters.map(({ text, first }) => (
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

function targetOf(place: PlaceInDocument | undefined): string {
  if (place === undefined) return 'problems';
  return (place.list === 'recordings' ? sectionId : seriesId)(place.index);
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
