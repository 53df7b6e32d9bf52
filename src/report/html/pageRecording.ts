import type { ReportedSequence } from '../../document/auditDocument.ts';
import type { ReportedRecording } from '../../document/reportedRecording.ts';
import { formatStops, capital } from '../../domain/format.ts';
import type { RecordingPictures } from '../../domain/measurement.ts';
import { findingTitle } from '../../findings/index.ts';
import {
  fileName,
  isFlagged,
  ownFindings,
  seriousnessOf,
  weighsEnough,
  type Weighed,
  type DisplayedAudit,
} from '../arrangement.ts';
import type { Use } from '../recordingUse.ts';
import { sequenceNames } from '../sequenceWording.ts';

export interface PageRecording {
  readonly recording: ReportedRecording;
  /** In shooting order, from 0. */
  readonly index: number;
  /** Absent where the page has none of it. */
  readonly pictures: RecordingPictures | undefined;
  readonly partOf: Part | undefined;
  /** Absent where nobody looked at the picture. */
  readonly use: Use | undefined;
  /** From where the page lies; absent where that is not known. */
  readonly address: string | undefined;
  /** Whether another one stands for it where all are shown in pictures. */
  readonly repeats: boolean;
}

/** Every clip has an entry of its own, and every still that something was found in. */
export function hasEntry({ kind, findings }: ReportedRecording): boolean {
  return kind === 'clip' || findings.length > 0;
}

export function sectionId(index: number): string {
  return `recording-${index + 1}`;
}

export function seriesId(index: number): string {
  return `series-${index + 1}`;
}

/** What is wrong with a recording in a few words, the serious first; undefined where nothing is. */
export function findingsTitle({ findings }: { readonly findings: readonly Weighed[] }): string | undefined {
  const own = ownFindings(findings);
  const serious = own.filter(weighsEnough);
  const shown = serious.length > 0 ? serious : own;
  const titles = [...new Set(shown.map(({ kind }) => findingTitle(kind)))];
  return titles.length === 0 ? undefined : titles.join(', ');
}

/** The same as a heading. */
export function verdictText(findings: readonly Weighed[]): string {
  const words = findingsTitle({ findings });
  if (words !== undefined) return isFlagged({ findings }) ? `${capital(words)}.` : `Remark: ${words}.`;
  // What is found of the flight as a whole stands there.
  return findings.length === 0 ? 'Nothing found wrong.' : 'Nothing found wrong by itself.';
}

/** Whether an audience would see what is flagged: what nobody will see is told calmly. */
export function isVisiblyFaulty({ use }: Pick<PageRecording, 'use'>): boolean {
  return use === 'trim' || use === 'leave';
}

/** What the script sorts and filters a recording by, and the findings of a whole series that it stands for. */
export function scriptData({ recording, index, use }: PageRecording, ofSeries: readonly Weighed[] = []) {
  const { findings, picture, shutter } = recording;
  return {
    'data-recording': index,
    'data-kinds': [use, kindsOf(recording)].filter(Boolean).join(' '),
    'data-kinds-of-series': ofSeries.length > 0 ? kindsOf({ findings: ofSeries }) : undefined,
    'data-serious': seriousnessOf({ findings: [...findings, ...ofSeries] }),
    'data-clipped': picture?.clippedFraction.max ?? -1,
    'data-shutter': Math.abs(shutter?.offsetStops ?? -1e-9),
  };
}

/** What it sorts and filters a bracket or series by. */
export function seriesScriptData(sequence: ReportedSequence, index: number) {
  return {
    'data-series': index,
    'data-kinds': kindsOf(sequence),
    'data-serious': seriousnessOf(sequence),
    'data-clipped': -1,
    'data-shutter': -1,
  };
}

/** All that it can be shown by. */
function kindsOf({ findings }: { readonly findings: readonly Weighed[] }): string {
  const kinds = new Set(findings.map(({ kind }) => kind));
  return [...(isFlagged({ findings }) ? ['flagged'] : []), ...kinds].join(' ');
}

export interface PageProps {
  readonly document: DisplayedAudit;
  readonly recordings: readonly PageRecording[];
}

/** The bracket or series that a still is a part of. */
interface Part {
  /** Its place in the document, from 0. */
  readonly index: number;
  /** In a few words: 'bracket, +2.0'. */
  readonly text: string;
  /** How many stills it has, and from which to which. */
  readonly count: number;
  readonly range: string;
  /** Of the first still of a series, which stands for it: what was found in the whole. */
  readonly findings: readonly Weighed[];
}

/** Undefined where a still stands alone. */
export function partOf(path: string, sequences: readonly ReportedSequence[]): Part | undefined {
  const index = sequences.findIndex(({ paths }) => paths.includes(path));
  const sequence = sequences[index];
  if (sequence === undefined) return undefined;
  if (sequence.kind !== 'bracket') {
    const findings = path === sequence.paths[0] ? sequence.findings : [];
    const text = `${sequenceNames[sequence.kind].singular} of ${sequence.paths.length}`;
    return { index, text, count: sequence.paths.length, range: rangeOf(sequence), findings };
  }
  const step = sequence.stepsStops?.[sequence.paths.indexOf(path)];
  const text = step === undefined ? 'bracket' : `bracket, ${formatStops(step)}`;
  return { index, text, count: sequence.paths.length, range: rangeOf(sequence), findings: [] };
}

/** Whether the first still of a bracket or series can stand for this one: a thousand of them look alike. */
export function repeatsItsSeries(
  { path, findings }: Pick<ReportedRecording, 'path' | 'findings'>,
  sequences: readonly ReportedSequence[],
): boolean {
  const isLater = ({ paths }: ReportedSequence) => paths.indexOf(path) > 0;
  return findings.length === 0 && sequences.some(isLater);
}

function rangeOf({ paths }: ReportedSequence): string {
  return [paths[0], paths.at(-1)].map((path = '') => fileName(path)).join(' to ');
}
