import type { ReportedSequence } from '../../document/auditDocument.ts';
import { isFlagged, ownFindings, seriousnessOf, weighsEnough, type Weighed } from '../arrangement.ts';
import { findingTitle } from '../../findings/index.ts';
import { capital } from '../../domain/format.ts';
import type { AuditInShort, RecordingInShort } from '../inShort.ts';
import type { PicturesOnDemand } from './pagePictures.ts';
import type { Part } from './partOf.ts';
import type { Later } from './renderInPieces.ts';

/** A recording with its place in the page. */
export interface PageRecording {
  readonly recording: RecordingInShort;
  /** Absent where the page has none of it. */
  readonly pictures: PicturesOnDemand | undefined;
  readonly partOf: Part | undefined;
  /** Whether another one stands for it where all are shown in pictures. */
  readonly repeats: boolean;
}

/** Every clip has an entry of its own, and every still that something was found in. */
export function hasEntry({ kind, findings }: RecordingInShort): boolean {
  return kind === 'clip' || findings.length > 0;
}

/** Where a recording's entry stands in the page. */
export function sectionId(index: number): string {
  return `recording-${index + 1}`;
}

/** Where the entry of a bracket or series stands. */
export function seriesId(index: number): string {
  return `series-${index + 1}`;
}

/** What is wrong with a recording in a few words, the serious first; undefined where nothing is. */
export function inFewWords({ findings }: { readonly findings: readonly Weighed[] }): string | undefined {
  const own = ownFindings(findings);
  const serious = own.filter(weighsEnough);
  const shown = serious.length > 0 ? serious : own;
  const titles = [...new Set(shown.map(({ kind }) => findingTitle(kind)))];
  return titles.length === 0 ? undefined : titles.join(', ');
}

/** The same as a heading. */
export function verdictText(findings: readonly Weighed[]): string {
  const words = inFewWords({ findings });
  if (words !== undefined) return `${capital(words)}.`;
  // What is found of the flight as a whole stands there.
  return findings.length === 0 ? 'Nothing found wrong.' : 'Nothing found wrong by itself.';
}

/** What the script sorts and filters a recording by, and the findings of a whole series that it stands for. */
export function listed(recording: RecordingInShort, ofWhole: readonly Weighed[] = []) {
  const { index, findings, clippedFraction, shutterOffsetStops } = recording;
  return {
    'data-recording': index,
    'data-kinds': kindsOf(recording),
    'data-kinds-of-series': ofWhole.length > 0 ? kindsOf({ findings: ofWhole }) : undefined,
    'data-serious': seriousnessOf({ findings: [...findings, ...ofWhole] }),
    'data-clipped': clippedFraction ?? -1,
    'data-shutter': Math.abs(shutterOffsetStops ?? -1e-9),
  };
}

/** What it sorts and filters a bracket or series by. */
export function listedSeries(sequence: ReportedSequence, index: number) {
  return {
    'data-series': index,
    'data-kinds': kindsOf(sequence),
    'data-serious': seriousnessOf(sequence),
    'data-clipped': -1,
    'data-shutter': -1,
  };
}

/** All that it can be shown by. */
function kindsOf(found: { readonly findings: readonly Weighed[] }): string {
  const kinds = new Set(found.findings.map(({ kind }) => kind));
  return [...(isFlagged(found) ? ['flagged'] : []), ...kinds].join(' ');
}

/** What every part of the page is made from. */
export interface PageProps {
  readonly document: AuditInShort;
  readonly recordings: readonly PageRecording[];
  readonly later: Later;
}
