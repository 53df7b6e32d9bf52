import type { AuditDocument } from '../document/auditDocument.ts';
import type { RecordingPictures } from '../domain/measurement.ts';
import { clipsCsv } from './files/clipsCsv.ts';
import { jsonReport } from './files/jsonReport.ts';
import { markdownSummary } from './files/markdownSummary.ts';
import { otioTimeline } from './files/otioTimeline.ts';
import { sidecarNames } from './files/outputNames.ts';
import { usableList } from './files/usableList.ts';
import { webvttTrack, xmpSidecar } from './files/clipSidecars.ts';
import { htmlReport } from './html/page.tsx';

type ReportFile = readonly [path: string, text: string];

/** Every file of a report, by its path below the folder: those of the flight, and small ones for each recording. */
export function* reportFiles(
  document: AuditDocument,
  pictures: readonly RecordingPictures[] = [],
  mediaAddress?: string,
): Generator<ReportFile> {
  yield ['report.html', htmlReport(document, pictures, mediaAddress)];
  yield ['audit.json', jsonReport(document)];
  yield ['clips.csv', clipsCsv(document)];
  yield ['summary.md', markdownSummary(document)];
  yield ['timeline.otio', otioTimeline(document)];
  yield ['usable.txt', usableList(document)];
  const { recordings, settings } = document;
  const paths = recordings.map(({ path }) => path);
  const [sidecars, tracks] = [sidecarNames(paths, '.xmp'), sidecarNames(paths, '.vtt')];
  for (const [index, recording] of recordings.entries()) {
    const sidecar = xmpSidecar(recording, settings);
    for (const name of sidecars[index]!) yield [`xmp/${name}`, sidecar];
    const track = webvttTrack(recording, settings);
    if (track !== undefined) for (const name of tracks[index]!) yield [`webvtt/${name}`, track];
  }
}
