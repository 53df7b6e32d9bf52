import type { ReportedSettings } from '../../document/auditDocument.ts';
import type { ReportedRecording } from '../../document/reportedRecording.ts';
import { displayable } from '../../domain/displayText.ts';
import { capital } from '../../domain/format.ts';
import { marksOf, markTitles } from '../marks.ts';

/** The marks of a clip as a text track (W3C WebVTT) that players show; undefined where there is none. */
export function webvttTrack(recording: ReportedRecording, settings: ReportedSettings): string | undefined {
  const shown = displayable(recording);
  const marks = marksOf(shown, settings).toSorted((a, b) => a.startSeconds - b.startSeconds);
  if (marks.length === 0) return undefined;
  const cues = marks.map(({ kind, startSeconds, endSeconds, comment }, index) =>
    [
      String(index + 1),
      `${cueTime(startSeconds)} --> ${cueTime(endSeconds)}`,
      cueText([capital(markTitles[kind]), comment].filter((part) => part !== '').join(': ')),
    ].join('\n'),
  );
  return `${['WEBVTT', ...cues].join('\n\n')}\n`;
}

/**
 * A place in a clip as WebVTT writes it.
 * @example cueTime(3661.25) // '01:01:01.250'
 */
export function cueTime(seconds: number): string {
  const milliseconds = Math.round(seconds * 1000);
  const field = (amount: number, digits: number) => String(Math.floor(amount)).padStart(digits, '0');
  const clock = [milliseconds / 3_600_000, (milliseconds / 60_000) % 60, (milliseconds / 1000) % 60].map(
    (amount) => field(amount, 2),
  );
  return `${clock.join(':')}.${field(milliseconds % 1000, 3)}`;
}

// WebVTT section 4.2.2: "&", "<" and ">" are written as character references, so "-->" cannot end a cue either.
function cueText(text: string): string {
  return text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');
}
