import type { RecordingPictures } from '../../domain/pictures.ts';
import type { AuditDocument } from '../../domain/report.ts';
import type { ReportedFinding, ReportedRecording } from '../../domain/reportedRecording.ts';
import { isFlagged, ownFindings, seriousnessOf, weighsEnough } from '../arrangement.ts';
import { findingTitles } from '../findingTitles.ts';
import { capital } from '../format.ts';
import type { Later } from './renderInPieces.ts';

/** A recording with its place in the page. */
export interface PageRecording {
  readonly recording: ReportedRecording;
  /** Place in shooting order, from 0. */
  readonly index: number;
  readonly pictures: RecordingPictures | undefined;
  /** What it is a part of, in a few words: 'bracket, +2.0'. */
  readonly partOf: string | undefined;
  /** Whether another one stands for it where all are shown in pictures. */
  readonly repeats: boolean;
}

/** Every clip has an entry of its own, and every still that something was found in. */
export function hasEntry({ kind, findings }: ReportedRecording): boolean {
  return kind === 'clip' || findings.length > 0;
}

/** Where a recording's entry stands in the page. */
export function sectionId(index: number): string {
  return `recording-${index + 1}`;
}

/** What is wrong with a recording in a few words, the serious first; undefined where nothing is. */
export function inFewWords({
  findings,
}: {
  readonly findings: readonly ReportedFinding[];
}): string | undefined {
  const own = ownFindings(findings);
  const serious = own.filter(weighsEnough);
  const shown = serious.length > 0 ? serious : own;
  const titles = [...new Set(shown.map(({ kind }) => findingTitles[kind].title))];
  return titles.length === 0 ? undefined : titles.join(', ');
}

/** The same as a heading. */
export function verdictText(findings: readonly ReportedFinding[]): string {
  const words = inFewWords({ findings });
  if (words !== undefined) return `${capital(words)}.`;
  // What is found of the flight as a whole stands there.
  return findings.length === 0 ? 'Nothing found wrong.' : 'Nothing found wrong by itself.';
}

/** What the script sorts and filters by. */
export function listed({ recording, index }: PageRecording) {
  const { findings, picture, shutter } = recording;
  return {
    'data-recording': index,
    'data-kinds': [
      ...(isFlagged(recording) ? ['flagged'] : []),
      ...new Set(findings.map(({ kind }) => kind)),
    ].join(' '),
    'data-serious': seriousnessOf(recording),
    'data-clipped': picture?.clippedFraction.max ?? -1,
    'data-shutter': Math.abs(shutter?.offsetStops ?? -1e-9),
  };
}

/** What every part of the page is made from. */
export interface PageProps {
  readonly document: AuditDocument;
  readonly folder: string;
  readonly recordings: readonly PageRecording[];
  readonly later: Later;
}
