import type { RecordingKind } from '../domain/recording.ts';
import type { AuditDocument, ReportedSettings } from '../document/auditDocument.ts';
import type { ReportedFinding } from '../document/reportedFinding.ts';
import type { ReportedRecording } from '../document/reportedRecording.ts';
import { displayable } from './displayable.ts';
import { isByAssumedCurve, isRough } from './settingsNotation.ts';
import { labelToCarry } from './filterWording.ts';
import { marksOf, type Mark } from './marks.ts';

/** What is said of many recordings together is said from this much of each: the whole of thousands is never held. */
export interface RecordingInShort {
  /** Place in shooting order, from 0. */
  readonly index: number;
  readonly path: string;
  readonly kind: RecordingKind;
  readonly findings: readonly Pick<ReportedFinding, 'kind' | 'weight'>[];
  /** Whether a recorded value was refused, as nobody could have meant it. */
  readonly hasRefusals: boolean;
  readonly sceneEv100: number | undefined;
  /** Label of the filter that was on, and of the one to carry. */
  readonly fitted: string | undefined;
  readonly carry: string | undefined;
  readonly isShutterKnown: boolean;
  readonly isShutterByBlur: boolean;
  readonly shutterOffsetStops: number | undefined;
  /** Whether its exposure is known to two stops only. */
  readonly isRough: boolean;
  /** Whether it rests on a transfer curve that was assumed. */
  readonly isByAssumedCurve: boolean;
  /** Of a clip: the rate that it plays at. */
  readonly framesPerSecond: number | undefined;
  /** Undefined where the picture was not measured, as are the next three. */
  readonly framesMeasured: number | undefined;
  readonly samplingStepSeconds: number | undefined;
  readonly clippedFraction: number | undefined;
  /** Of a clip: how much of it can be used. */
  readonly use: Use | undefined;
}

export type Use = 'whole' | 'part' | 'none' | 'unknown';

/** An audit as it is told to people: texts are safe to print, paths lack the folder that all of them share. */
export interface AuditInShort extends Omit<AuditDocument, 'recordings'> {
  /** The folder that all paths share, with a slash at its end, or nothing. */
  readonly folder: string;
  readonly recordings: readonly RecordingInShort[];
  /** All that is known of a recording, by its place in the list. */
  readonly whole: (index: number) => ReportedRecording;
}

/** Looks at each recording of the document once, and again whenever the whole of it is asked for. */
export function auditInShort({ recordings: all, ...rest }: AuditDocument): AuditInShort {
  const shown = displayable(rest);
  const { sequences, problems } = shown;
  const recordings = all.map((recording, index) => inShort(displayable(recording), index, shown.settings));
  const ofDump = problems.filter(({ about }) => about === undefined);
  const paths = [recordings, ofDump].flat().map(({ path }) => path);
  const folder = sharedFolder([...paths, ...sequences.flatMap((sequence) => sequence.paths)]);
  const shorter = (path: string): string => path.slice(folder.length);
  const withShorterPath = <T extends { readonly path: string }>(one: T): T => ({
    ...one,
    path: shorter(one.path),
  });
  return {
    ...shown,
    folder,
    recordings: recordings.map(withShorterPath),
    sequences: sequences.map((sequence) => ({ ...sequence, paths: sequence.paths.map(shorter) })),
    problems: problems.map((one) => (one.about === undefined ? withShorterPath(one) : one)),
    whole: (index) => withShorterPath(displayable(all[index]!)),
  };
}

/** All that is known of each of them, one at a time. */
export function* wholes(
  { whole }: AuditInShort,
  recordings: readonly RecordingInShort[],
): Generator<ReportedRecording> {
  for (const { index } of recordings) yield whole(index);
}

function inShort(recording: ReportedRecording, index: number, settings: ReportedSettings): RecordingInShort {
  const { path, kind, facts, findings, refusals, exposure, filter, shutter, picture } = recording;
  const isClip = kind === 'clip';
  return {
    index,
    path,
    kind,
    findings: findings.map((finding) => ({ kind: finding.kind, weight: finding.weight })),
    hasRefusals: refusals.length > 0,
    sceneEv100: exposure.sceneEv100,
    fitted: filter?.fitted?.label,
    carry: labelToCarry(filter),
    isShutterKnown: (shutter?.verdict ?? 'unknown') !== 'unknown',
    isShutterByBlur: shutter?.basis === 'picture',
    shutterOffsetStops: shutter?.offsetStops,
    isRough: isRough(recording),
    isByAssumedCurve: isByAssumedCurve(recording),
    framesPerSecond: isClip ? (facts.playbackFramesPerSecond ?? facts.framesPerSecond)?.value : undefined,
    framesMeasured: picture?.framesMeasured,
    samplingStepSeconds: picture?.samplingStepSeconds,
    clippedFraction: picture?.clippedFraction.max,
    use: isClip && picture !== undefined ? useOf(marksOf(recording, settings)) : undefined,
  };
}

function useOf(marks: readonly Mark[]): Use {
  const usable = marks.filter(({ kind }) => kind === 'usable').length;
  if (marks.length === 0) return 'unknown';
  if (usable === 0) return 'none';
  return usable === marks.length ? 'whole' : 'part';
}

function sharedFolder(paths: readonly string[]): string {
  const folders = paths.map((path) => path.split('/').slice(0, -1));
  const first = folders[0] ?? [];
  const differs = first.findIndex((name, at) => folders.some((folder) => folder[at] !== name));
  const shared = differs === -1 ? first : first.slice(0, differs);
  return shared.length === 0 ? '' : `${shared.join('/')}/`;
}
