import type { ReportedSettings } from '../document/auditDocument.ts';
import type { ReportedRecording, ReportedTrack } from '../document/reportedRecording.ts';
import { capital, formatDuration, formatPercent } from '../domain/format.ts';
import {
  frameIndexAt,
  frameRateFromNumber,
  framesPerSecond,
  nominalRate,
  type FrameRate,
} from '../domain/frameRate.ts';
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
 * The stretches of a clip that have a fault that shows, and those that have none, in the order of time. A fault begins
 * and ends where its tolerance does, in whole frames, so that what is usable holds none of it. Nothing is called usable
 * where the picture was not measured.
 */
export function marksOf(recording: ReportedRecording, settings: ReportedSettings): readonly Mark[] {
  const duration = recording.facts.durationSeconds?.value;
  if (recording.kind !== 'clip' || duration === undefined || duration <= 0) return [];
  const clip = { startSeconds: 0, endSeconds: duration };
  const time = clipTime(recording);
  const faults = [
    ...clippedMarks(recording, settings),
    ...shutterMarks(recording, settings, clip),
    ...unreadMarks(recording, clip),
  ]
    .filter((mark) => mark.startSeconds < Math.min(mark.endSeconds, duration))
    .map((mark) => ({ ...mark, ...outward(mark, duration, time) }));
  const spoiling = faults.filter(({ spoils }) => spoils);
  const usable = recording.picture === undefined ? [] : gaps(spoiling, clip);
  return [
    ...faults,
    ...usable.map((stretch): Mark => ({ kind: 'usable', ...stretch, comment: '', spoils: false })),
  ].toSorted((a, b) => a.startSeconds - b.startSeconds);
}

/** Widened to whole frames. What ends before the last frame or within it ends with the clip. */
function outward(
  { startSeconds, endSeconds }: Stretch,
  duration: number,
  time: ClipTime | undefined,
): Stretch {
  if (time === undefined) return { startSeconds, endSeconds: Math.min(endSeconds, duration) };
  const { frameRate, frameCount } = time;
  const rate = framesPerSecond(frameRate);
  const first = Math.min(frameIndexAt({ seconds: startSeconds, frameRate }), frameCount - 1);
  // Less a millionth of a frame, as in frameIndexAt().
  const end = Math.max(first + 1, Math.ceil(endSeconds * rate - 1e-6));
  return { startSeconds: first / rate, endSeconds: end >= frameCount - 1 ? duration : end / rate };
}

function clippedMarks(
  { picture, findings }: ReportedRecording,
  { clippedFraction }: ReportedSettings,
): readonly Mark[] {
  const flagged = findings.find((finding) => finding.kind === 'highlights-clipped' && weighsEnough(finding));
  if (flagged === undefined) return [];
  return (picture?.clippedSpans ?? []).map((span) => ({
    kind: 'clipped',
    startSeconds: Math.max(0, span.startSeconds - (span.startToleranceSeconds ?? 0)),
    endSeconds: span.endSeconds + (span.endToleranceSeconds ?? 0),
    comment: `Up to ${formatPercent(span.maxFraction)} of the picture is clipped.`,
    spoils: flagged.weight === 'high' && isPartOfPicture(span.maxFraction, clippedFraction),
  }));
}

/** Whether so much white is more than a speck. */
export function isPartOfPicture(fraction: number, acceptedFraction: number): boolean {
  return fraction > spoilingOverLimit * acceptedFraction;
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

/** What a mark says in an editing program or as a caption. */
export function markText({ kind, comment }: Mark): string {
  return [capital(markTitles[kind]), comment].filter((part) => part !== '').join(': ');
}

/**
 * The usable stretches with ends for people to read: hundredths of a second below one, tenths, whole seconds from a
 * minute on. They are rounded inward.
 */
export function usableSpans(marks: readonly Mark[]): readonly Stretch[] {
  const parts = (seconds: number): number => (seconds < 1 ? 100 : seconds < 60 ? 10 : 1);
  return marks
    .filter(({ kind }) => kind === 'usable')
    .map(({ startSeconds, endSeconds }) => ({
      startSeconds: Math.ceil(startSeconds * parts(startSeconds) - 1e-6) / parts(startSeconds),
      endSeconds: Math.floor(endSeconds * parts(endSeconds) + 1e-6) / parts(endSeconds),
    }));
}

/** What can be used of a clip, in a sentence; undefined where nothing was measured that would say so. */
export function usableText(recording: ReportedRecording, marks: readonly Mark[]): string | undefined {
  if (recording.kind !== 'clip' || recording.picture === undefined || marks.length === 0) return undefined;
  const usable = usableSpans(marks);
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

/**
 * SMPTE ST 12-1 counts at 24 and at 24000/1001, a thousandth apart: a rate that is nearer to one of them than half of
 * that means it, however its file averages.
 */
const sameCountFraction = 4.9e-4;

/** Undefined where length or rate is unknown: then no place in the clip can be counted. */
export function clipTime({ kind, facts }: ReportedRecording): ClipTime | undefined {
  // Times in a file go by the rate at which it plays, whatever it was captured at.
  const rate = facts.playbackFramesPerSecond?.value ?? facts.framesPerSecond?.value;
  const frameRate =
    rate === undefined ? undefined : (nominalRate(rate, sameCountFraction) ?? frameRateFromNumber(rate));
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

/** Frames of a mark of this clip, counted from the first frame of the clip: the first one and how many. At least one. */
export function markFrames({ startSeconds, endSeconds }: Mark, { frameRate, ...time }: ClipTime) {
  const frameAt = (seconds: number) => Math.round(seconds * framesPerSecond(frameRate));
  const firstFrame = Math.min(frameAt(startSeconds), time.frameCount - 1);
  const end = Math.min(frameAt(endSeconds), time.frameCount);
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
