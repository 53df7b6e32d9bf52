import type { RecordingPictures } from '../domain/pictures.ts';
import type { AuditDocument } from '../document/auditDocument.ts';
import { clipsCsv } from './csv.ts';
import { htmlReport } from './html/page.tsx';
import { jsonReport } from './json.ts';
import { markdownSummary } from './markdown.ts';
import { otioTimeline } from './otio.ts';
import { outputNames } from './outputNames.ts';
import { webvttTrack } from './webvtt.ts';
import { xmpSidecar } from './xmp.ts';

/** The text of a file, whole or in the pieces that it consists of. */
type FileText = Iterable<string>;
type FileReport = (document: AuditDocument, pictures?: readonly RecordingPictures[]) => FileText;

/** What `--out` writes about the whole flight: file name → the function that makes its text. */
export const fileReports: Readonly<Record<string, FileReport>> = {
  'report.html': htmlReport,
  'audit.json': jsonReport,
  'clips.csv': clipsCsv,
  'summary.md': markdownSummary,
  'timeline.otio': otioTimeline,
};

/** Every file of a report, by its path below the folder: those of the flight, and two small ones for each recording. */
export function* reportFiles(
  document: AuditDocument,
  pictures: readonly RecordingPictures[] = [],
): Generator<readonly [path: string, text: FileText]> {
  for (const [name, report] of Object.entries(fileReports)) yield [name, report(document, pictures)];
  const { recordings, settings } = document;
  const paths = recordings.map(({ path }) => path);
  const [sidecars, tracks] = [outputNames(paths, '.xmp'), outputNames(paths, '.vtt')];
  for (const [index, recording] of recordings.entries()) {
    yield [`xmp/${sidecars[index]!}`, xmpSidecar(recording, settings)];
    const track = webvttTrack(recording, settings);
    if (track !== undefined) yield [`webvtt/${tracks[index]!}`, track];
  }
}
