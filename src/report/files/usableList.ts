import type { AuditDocument, ReportedSettings } from '../../document/auditDocument.ts';
import type { ReportedRecording } from '../../document/reportedRecording.ts';
import { displayable } from '../../domain/displayText.ts';
import { formatDuration } from '../../domain/format.ts';
import { clipTime, clipTimecode, markFrames, marksOf, usableSpans } from '../marks.ts';

/**
 * The usable stretches of all clips as plain text, one a line: its first frame, its last one, which belongs to
 * it, and the file. A line never begins with a name, which a spreadsheet could take for a formula.
 */
export function usableList(document: AuditDocument): string {
  const { recordings, settings } = displayable(document);
  const lines = recordings.flatMap((recording) =>
    places(recording, settings).map(([from, to]) => `${from} to ${to}  ${recording.path}`),
  );
  return lines.map((line) => `${line}\n`).join('');
}

/** By the timecode that the clip carries, else in seconds from its start. */
function places(
  recording: ReportedRecording,
  settings: ReportedSettings,
): readonly (readonly [from: string, to: string])[] {
  const usable = marksOf(recording, settings).filter(({ kind }) => kind === 'usable');
  const time = recording.facts.startTimecode === undefined ? undefined : clipTime(recording);
  if (time === undefined)
    return usableSpans(usable).map(({ startSeconds, endSeconds }) => [
      formatDuration(startSeconds),
      formatDuration(endSeconds),
    ]);
  return usable.map((mark) => {
    const { firstFrame, frameCount } = markFrames(mark, time);
    return [clipTimecode(firstFrame, time), clipTimecode(firstFrame + frameCount - 1, time)];
  });
}
