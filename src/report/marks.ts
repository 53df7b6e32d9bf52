import type { ReportedSettings } from '../document/auditDocument.ts';
import type { ReportedRecording, ReportedTrack } from '../document/reportedRecording.ts';
import { formatDuration, formatPercent } from '../domain/format.ts';
import { frameIndexAt, frameRateFromNumber, framesPerSecond, type FrameRate } from '../domain/frameRate.ts';
import { shutterAngleDegrees, shutterOffsetStops } from '../domain/shutter.ts';
import { frameOfTimecode, timecodeOfFrame } from '../domain/timecode.ts';
import { weighsEnough } from './arrangement.ts';
import { openingsPerSecond } from './settingsNotation.ts';

/** What a stretch of a clip is marked as, for the page and for editing programs. */
type MarkKind = 'clipped' | 'stutter' | 'smear' | 'unread' | 'usable';

export const markTitles: Readonly<Record<MarkKind, string>> = {
  clipped: 'highlights clipped',
  stutter: 'shutter too short',
  smear: 'shutter too long',
  unread: 'not read',
  usable: 'usable',
};

export interface Mark {
  readonly kind: MarkKind;
  readonly startSeconds: number;
  readonly endSeconds: number;
  /** What is the matter there, as one or two sentences; empty for what is usable. */
  readonly comment: string;
  /** Whether it takes the stretch out of an edit. */
  readonly spoils: boolean;
}

type Stretch = Pick<Mark, 'startSeconds' | 'endSeconds'>;

/** Shorter than this, a stretch between two faults is of no use in an edit (common practice, no source). */
const leastUsableSeconds = 1;
/** White beyond this many times of what is accepted is a part of the picture and no speck (as in findings/clipping.ts). */
const spoilingOverLimit = 5;
/** Stretches of one fault that lie nearer than this are one. */
const joinSeconds = 0.5;

/**
 * The stretches of a clip that have a fault that shows, and those that have none. Nothing is called usable where the
 * picture was not measured.
 */
export function marksOf(recording: ReportedRecording, settings: ReportedSettings): readonly Mark[] {
  const duration = recording.facts.durationSeconds?.value;
  if (recording.kind !== 'clip' || duration === undefined || duration <= 0) return [];
  const clip = { startSeconds: 0, endSeconds: duration };
  const faults = [
    ...clippedMarks(recording, settings),
    ...shutterMarks(recording, settings, clip),
    ...unreadMarks(recording, clip),
  ]
    .map((mark) => ({ ...mark, endSeconds: Math.min(mark.endSeconds, duration) }))
    .filter((mark) => mark.startSeconds < mark.endSeconds);
  const spoiling = faults.filter(({ spoils }) => spoils);
  const usable = recording.picture === undefined ? [] : gaps(spoiling, clip);
  return [
    ...faults,
    ...usable.map((stretch): Mark => ({ kind: 'usable', ...stretch, comment: '', spoils: false })),
  ];
}

function clippedMarks(
  { picture, findings }: ReportedRecording,
  { clippedFraction }: ReportedSettings,
): readonly Mark[] {
  const flagged = findings.find((finding) => finding.kind === 'highlights-clipped' && weighsEnough(finding));
  if (flagged === undefined) return [];
  return (picture?.clippedSpans ?? []).map(({ startSeconds, endSeconds, maxFraction }) => ({
    kind: 'clipped',
    startSeconds,
    endSeconds,
    comment: `Up to ${formatPercent(maxFraction)} of the picture is clipped.`,
    spoils: flagged.weight === 'high' && maxFraction > spoilingOverLimit * clippedFraction,
  }));
}

function shutterMarks(
  recording: ReportedRecording,
  settings: ReportedSettings,
  clip: Stretch,
): readonly Mark[] {
  const { shutter, findings } = recording;
  const finding = findings.find((each) => /^shutter-(?:short|long)/.test(each.kind) && weighsEnough(each));
  if (finding === undefined || shutter?.matters === 'no') return [];
  const kind = finding.kind.startsWith('shutter-short') ? 'stutter' : 'smear';
  const stretches = recording.track && offStretches(recording.track, recording, settings);
  const span =
    finding.startSeconds === undefined || finding.endSeconds === undefined
      ? clip
      : { startSeconds: finding.startSeconds, endSeconds: finding.endSeconds };
  return (stretches?.length ? stretches : [span]).map(({ startSeconds, endSeconds }) => ({
    kind,
    startSeconds,
    endSeconds,
    comment: finding.text,
    spoils: true,
  }));
}

/** Where the recorded exposure is off the target, in the direction of the verdict. */
function offStretches(
  { timeline }: ReportedTrack,
  recording: ReportedRecording,
  { shutterAngleDegrees: targetDegrees, shutterToleranceStops }: ReportedSettings,
): readonly Stretch[] {
  const framesPerSecond = openingsPerSecond(recording);
  if (framesPerSecond === undefined) return [];
  const isOff = ({ exposureSeconds }: ReportedTrack['timeline'][number]) => {
    if (exposureSeconds === undefined) return false;
    const angleDegrees = shutterAngleDegrees({ exposureSeconds, framesPerSecond });
    const stops = shutterOffsetStops({ angleDegrees, targetDegrees });
    return (recording.shutter?.verdict === 'long' ? stops : -stops) > shutterToleranceStops;
  };
  // A thinned time line has gaps: each sample holds until the next one.
  const spans = timeline.map((sample, index) => ({
    off: isOff(sample),
    startSeconds: sample.startSeconds,
    endSeconds: timeline[index + 1]?.startSeconds ?? sample.endSeconds,
  }));
  return joined(spans.filter(({ off }) => off));
}

function joined(stretches: readonly Stretch[]): readonly Stretch[] {
  const result: Stretch[] = [];
  for (const { startSeconds, endSeconds } of stretches) {
    const last = result.at(-1);
    if (last !== undefined && startSeconds - last.endSeconds < joinSeconds)
      result[result.length - 1] = { ...last, endSeconds: Math.max(endSeconds, last.endSeconds) };
    else result.push({ startSeconds, endSeconds });
  }
  return result;
}

function unreadMarks({ findings }: ReportedRecording, clip: Stretch): readonly Mark[] {
  const finding = findings.find(({ kind }) => kind === 'decoded-in-part');
  if (finding?.startSeconds === undefined) return [];
  return [
    { ...clip, kind: 'unread', startSeconds: finding.startSeconds, comment: finding.text, spoils: true },
  ];
}

/** What the faults leave of the clip, where it is long enough or all there is. */
function gaps(faults: readonly Stretch[], clip: Stretch): readonly Stretch[] {
  let from = clip.startSeconds;
  const left: Stretch[] = [];
  for (const fault of faults.toSorted((a, b) => a.startSeconds - b.startSeconds)) {
    if (fault.startSeconds > from) left.push({ startSeconds: from, endSeconds: fault.startSeconds });
    from = Math.max(from, fault.endSeconds);
  }
  if (from < clip.endSeconds) left.push({ startSeconds: from, endSeconds: clip.endSeconds });
  return left.filter(
    ({ startSeconds, endSeconds }) => faults.length === 0 || endSeconds - startSeconds >= leastUsableSeconds,
  );
}

/** What can be used of a clip, in a sentence; undefined where nothing was measured that would say so. */
export function usableText(recording: ReportedRecording, marks: readonly Mark[]): string | undefined {
  if (recording.kind !== 'clip' || recording.picture === undefined || marks.length === 0) return undefined;
  const usable = marks.filter(({ kind }) => kind === 'usable');
  if (usable.length === 0) return 'No part of it is free of faults that show.';
  if (marks.every(({ spoils }) => !spoils)) {
    const specks = marks.length === usable.length ? '' : ', with its specks of white';
    return `All of it can be used${specks}${reservation(recording)}.`;
  }
  const spans = usable.map(
    ({ startSeconds, endSeconds }) => `${formatDuration(startSeconds)} to ${formatDuration(endSeconds)}`,
  );
  return `Without a fault that shows: ${spans.join(', ')}.`;
}

function reservation({ findings, shutter }: ReportedRecording): string {
  if (findings.some((finding) => finding.kind.startsWith('too-') && weighsEnough(finding)))
    return ', with its exposure corrected';
  return shutter === undefined || shutter.verdict === 'unknown' ? ', as far as the picture shows' : '';
}

/** How the frames of a clip are counted: what an editing program needs to find a place in it. */
export interface ClipTime {
  readonly frameRate: FrameRate;
  readonly frameCount: number;
  /** Frame number of the first frame on the day's clock; 0 where no start timecode was recorded. */
  readonly startFrame: number;
  readonly dropFrame: boolean;
}

/** Undefined where length or rate is unknown: then no place in the clip can be counted. */
export function clipTime({ kind, facts }: ReportedRecording): ClipTime | undefined {
  // Times in a file go by the rate at which it plays, whatever it was captured at.
  const rate = facts.playbackFramesPerSecond?.value ?? facts.framesPerSecond?.value;
  const frameRate = rate === undefined ? undefined : frameRateFromNumber(rate);
  const duration = facts.durationSeconds?.value;
  if (kind !== 'clip' || frameRate === undefined || duration === undefined) return undefined;
  const frameCount = Math.max(1, Math.round(duration * framesPerSecond(frameRate)));
  const timecode = facts.startTimecode?.value;
  const startFrame = timecode === undefined ? undefined : frameOfTimecode({ timecode, frameRate });
  return {
    frameRate,
    frameCount,
    startFrame: startFrame ?? 0,
    dropFrame: startFrame !== undefined && timecode!.includes(';'),
  };
}

/** Frames of a mark, counted from the first frame of the clip: the first one and how many. At least one. */
export function markFrames({ startSeconds, endSeconds }: Mark, { frameRate, ...time }: ClipTime) {
  const firstFrame = Math.min(frameIndexAt({ seconds: startSeconds, frameRate }), time.frameCount - 1);
  const end = Math.min(frameIndexAt({ seconds: endSeconds, frameRate }), time.frameCount);
  return { firstFrame, frameCount: Math.max(1, end - firstFrame) };
}

/**
 * Timecode label of a frame of the clip. Wraps at 24 hours like the clock it was read from.
 * @param frame counted from the first frame of the clip
 */
export function clipTimecode(frame: number, { startFrame, frameRate, dropFrame }: ClipTime): string {
  // Drop-frame is only ever set where a label of it was read at this rate.
  return timecodeOfFrame({ frameIndex: startFrame + frame, frameRate, dropFrame }) ?? '';
}
