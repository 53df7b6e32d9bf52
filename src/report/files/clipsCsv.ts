import { stringify } from 'csv-stringify/sync';
import type { AuditDocument, ReportedSettings } from '../../document/auditDocument.ts';
import type { ReportedRecording } from '../../document/reportedRecording.ts';
import { displayable } from '../../domain/displayText.ts';
import { findingTitle } from '../../findings/index.ts';
import { isFlagged } from '../arrangement.ts';
import { carryWords } from '../carryWording.ts';
import { marksOf, usableSpans } from '../marks.ts';
import { shownExposure } from '../settingsNotation.ts';

type Cell = string | number | undefined;
type Column = readonly [
  header: string,
  cell: (recording: ReportedRecording, settings: ReportedSettings) => Cell,
];

// A camera report of the trade first (common practice, no source), then what only the audit knows.
const columns: readonly Column[] = [
  ['recording', ({ path }) => path],
  ['start timecode', ({ facts }) => facts.startTimecode?.value],
  ['duration (s)', ({ facts }) => rounded(facts.durationSeconds?.value, 3)],
  ['frame rate (fps)', ({ facts }) => rounded(facts.framesPerSecond?.value, 3)],
  ['shutter', shownExposure],
  // What motion blur tells is not known closer than to a degree, here as in every sentence.
  [
    'shutter angle (degrees)',
    ({ shutter }) =>
      rounded(
        shutter?.angleDegrees,
        shutter?.basis === 'picture' && (shutter.angleDegrees ?? 0) >= 1 ? 0 : 1,
      ),
  ],
  ['ISO', ({ facts }) => rounded(facts.iso?.value, 0)],
  ['f-number', ({ facts }) => rounded(facts.fNumber?.value, 1)],
  ['fitted', ({ filter }) => filter?.fitted?.label],
  ['fitted (stops)', ({ filter }) => rounded(filter?.fitted?.stops, 2)],
  ['white balance', ({ facts }) => facts.whiteBalance?.value],
  ['focal length (mm)', ({ facts }) => rounded(facts.focalLengthMm?.value, 1)],
  ['remarks', remarks],
  ['kind', ({ kind }) => kind],
  ['recorded at', ({ facts }) => facts.recordedAt?.value],
  ['flagged', (recording) => (isFlagged(recording) ? 'yes' : 'no')],
  ['usable (s)', usable],
  ['finding kinds', ({ findings }) => findings.map(({ kind }) => kind).join(' ')],
  ['exposure time (s)', ({ facts }) => rounded(facts.exposureSeconds?.value, 7)],
  ['shutter verdict', ({ shutter }) => shutter?.verdict],
  ['shutter off target (stops)', ({ shutter }) => rounded(shutter?.offsetStops, 2)],
  ['exposure offset (stops)', ({ exposure }) => rounded(exposure.offsetStops, 2)],
  ['clipped at most (%)', ({ picture }) => percent(picture?.clippedFraction.max)],
  ['clipped typically (%)', ({ picture }) => percent(picture?.clippedFraction.median)],
  ['black at most (%)', ({ picture }) => percent(picture?.crushedFraction.max)],
  ['motion (px per frame)', ({ picture }) => rounded(picture?.motionPixelsPerFrame?.median, 1)],
  ['light on the scene (EV at ISO 100)', ({ exposure }) => rounded(exposure.sceneEv100, 2)],
  ['filter needed (stops)', ({ filter }) => rounded(filter?.neededStops, 2)],
  ['filter to add (stops)', ({ filter }) => rounded(filter?.additionalStops, 2)],
  ['carry', ({ filter }, settings) => carryWords(filter, settings)],
  ['best of the kit', ({ filter }) => filter?.pick?.label],
  ['best of the kit leaves (stops)', ({ filter }) => rounded(filter?.pick?.leavesStops, 2)],
];

/**
 * One line for each recording, as RFC 4180 has it: CRLF line ends, a header, quotes where needed. Text that a
 * spreadsheet would take for a formula begins with an apostrophe; numbers stay numbers, their units are in the header.
 */
export function clipsCsv(document: AuditDocument): string {
  const { recordings, settings } = displayable(document);
  const rows = recordings.map((recording) => columns.map(([, cell]) => cell(recording, settings)));
  return stringify([columns.map(([header]) => header), ...rows], {
    // Without it a spreadsheet takes UTF-8 for the code page of its system.
    bom: true,
    record_delimiter: 'windows',
    cast: { string: (text) => (/^\s*[=+\-@\uff1d\uff0b\uff0d\uff20]/.test(text) ? `'${text}` : text) },
  });
}

function remarks({ findings }: ReportedRecording): string {
  return findings.map(({ kind, text }) => text || findingTitle(kind)).join(' ');
}

/** "0 to 4; 6.5 to 12": no dash, which spreadsheets take for a sign or a date. */
function usable(recording: ReportedRecording, settings: ReportedSettings): string | undefined {
  const spans = usableSpans(marksOf(recording, settings));
  if (spans.length === 0) return undefined;
  return spans.map(({ startSeconds, endSeconds }) => `${startSeconds} to ${endSeconds}`).join('; ');
}

function rounded(amount: number | undefined, digits: number): number | undefined {
  return amount === undefined ? undefined : Number(amount.toFixed(digits));
}

function percent(fraction: number | undefined): number | undefined {
  return rounded(fraction === undefined ? undefined : fraction * 100, 3);
}
