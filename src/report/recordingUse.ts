import type { AuditDocument, ReportedSettings } from '../document/auditDocument.ts';
import type { ReportedRecording } from '../document/reportedRecording.ts';
import type { FindingKind } from '../findings/index.ts';
import { isFlagged, weighsEnough } from './arrangement.ts';
import { marksOf, type Mark } from './marks.ts';

/**
 * What a recording is for an edit. `use`: no fault that an audience sees. `trim`: a stretch of it that is long enough,
 * or all of it after a setting or a crop. `leave`: neither.
 */
export type Use = 'use' | 'trim' | 'leave';

export const uses: readonly Use[] = ['use', 'trim', 'leave'];

/** As it is said to people: "leave" alone could mean to leave it in. */
export const useNames: Readonly<Record<Use, string>> = { use: 'use', trim: 'trim', leave: 'leave out' };

/** What puts a recording there, in a few words. */
export const useMeanings: Readonly<Record<Use, string>> = {
  use: 'no fault that spoils it',
  trim: 'a stretch, a setting or a crop saves it',
  leave: 'a fault shows nearly all through',
};

/** A shot that is shorter is hardly cut with (common practice, no source). */
const leastTrimSeconds = 3;

/** Where more of a picture is white, no crop is left that holds the subject (common practice, no source). */
const lostFraction = 0.25;

/** What an audience would see, and a setting of the editing program puts right or makes bearable. */
const settable: ReadonlySet<FindingKind> = new Set([
  'too-bright',
  'too-dark',
  'channel-clipped',
  'exposure-drifts',
  'exposure-pumps',
  'flicker',
  'range-contradicted',
  'iso-raised',
  'uneven-frames',
]);

/** Undefined where the picture was not measured: nobody can tell. */
export function useOf(recording: ReportedRecording, settings: ReportedSettings): Use | undefined {
  if (recording.picture === undefined) return undefined;
  if (recording.picture.noScene === 'black') return 'leave';
  return recording.kind === 'clip'
    ? useOfClip(recording, marksOf(recording, settings))
    : useOfStill(recording);
}

function useOfClip(recording: ReportedRecording, marks: readonly Mark[]): Use {
  const spoiling = marks.filter(({ spoils }) => spoils);
  if (spoiling.length === 0) return needsSetting(recording) ? 'trim' : 'use';
  const longest = Math.max(0, ...marks.filter(({ kind }) => kind === 'usable').map(lengthOf));
  if (longest >= leastTrimSeconds) return 'trim';
  return spoiling.every((mark) => isBearable(mark, recording)) ? 'trim' : 'leave';
}

function useOfStill(recording: ReportedRecording): Use {
  const { findings } = recording;
  if (findings.some(({ kind }) => kind === 'decoded-in-part')) return 'leave';
  const burnt = findings.some(({ kind, weight }) => kind === 'highlights-clipped' && weight === 'high');
  if (burnt) return isCroppable(recording) ? 'trim' : 'leave';
  return needsSetting(recording) ? 'trim' : 'use';
}

function needsSetting({ findings }: ReportedRecording): boolean {
  return findings.some((finding) => settable.has(finding.kind) && weighsEnough(finding));
}

/** A crop leaves white out. A shutter that is off by no more than a stop weighs medium, and an effect softens it. */
function isBearable({ kind }: Mark, recording: ReportedRecording): boolean {
  if (kind === 'clipped') return isCroppable(recording);
  if (kind !== 'stutter' && kind !== 'smear') return false;
  return recording.findings.some(
    (finding) => /^shutter-(?:short|long)/.test(finding.kind) && finding.weight === 'medium',
  );
}

function isCroppable({ picture }: ReportedRecording): boolean {
  return (picture?.clippedFraction.max ?? 0) <= lostFraction;
}

function lengthOf({ startSeconds, endSeconds }: Mark): number {
  return endSeconds - startSeconds;
}

type Audited = Pick<AuditDocument, 'recordings' | 'sequences' | 'settings'>;

/** Of each recording, in their order. Stills of a bracket or series that is flagged as a whole need a look at least. */
export function usesOf({ recordings, sequences, settings }: Audited): readonly (Use | undefined)[] {
  const members = new Set(sequences.filter(isFlagged).flatMap(({ paths }) => paths));
  return recordings.map((recording) => {
    const own = useOf(recording, settings);
    return own === 'use' && members.has(recording.path) ? 'trim' : own;
  });
}

/** The document with the use of each recording in it, for other programs. */
export function withUses(document: AuditDocument): AuditDocument {
  const all = usesOf(document);
  return {
    ...document,
    recordings: document.recordings.map((recording, at) => ({ ...recording, use: all[at] })),
  };
}

/**
 * The longest stretch without a fault that shows, of the clips without a flag, else of those to use, else of all; of equals
 * the first of those with the fewest remarks.
 */
export function bestStretch({ recordings, settings }: Pick<Audited, 'recordings' | 'settings'>) {
  const clips = recordings.filter(({ kind, picture }) => kind === 'clip' && picture?.noScene === undefined);
  const useful = clips.filter((recording) => useOf(recording, settings) === 'use');
  const unflagged = useful.filter((recording) => !isFlagged(recording));
  return ([unflagged, useful].find(({ length }) => length > 0) ?? clips)
    .toSorted((a, b) => a.findings.length - b.findings.length)
    .flatMap((recording) => {
      const usable = marksOf(recording, settings).filter(({ kind }) => kind === 'usable');
      return usable.map((mark) => ({ recording, mark, seconds: lengthOf(mark) }));
    })
    .reduce<{ recording: ReportedRecording; mark: Mark; seconds: number } | undefined>(
      (best, each) => (best !== undefined && best.seconds >= each.seconds ? best : each),
      undefined,
    );
}
