import type { ReportedSequence, ReportedSettings } from '../document/auditDocument.ts';
import type {
  ReportedFilter,
  ReportedPicture,
  ReportedFinding,
  ReportedRecording,
  ReportedTrack,
} from '../document/reportedRecording.ts';
import type { SeriesAdvice, Alternative, FilterAdvice } from '../domain/advice.ts';
import type { ExposureBasis } from '../domain/findingWeight.ts';
import { framesPerSecond, type FrameRate } from '../domain/frameRate.ts';
import { commonKit, type KitFilter } from '../domain/filterKit.ts';
import type { Limits } from '../domain/limits.ts';
import type { FrameMeasure, Measurement } from '../domain/measurement.ts';
import type { Fact, Facts, RecordingKind, Track, TrackSample } from '../domain/recording.ts';
import { playbackRates, type IntervalSeries, type StillSequence } from '../domain/sequence.ts';
import { median } from '../domain/statistics.ts';
import { isDoubtful } from '../findings/exposureWindow.ts';
import type { FindingContext } from '../findings/finding.ts';
import { findingRemedy, findingText, type Finding } from '../findings/index.ts';
import { wholeAdvice, type AdvisedRecording } from './exposureWording.ts';
import { alternativeText } from './filterWording.ts';
import { takenAs } from './sequenceWording.ts';

export function reportedSettings(inForce: {
  readonly limits: Limits;
  readonly kit: readonly KitFilter[];
  readonly measure: ReportedSettings['measure'];
  readonly kitAssumed: boolean;
}): ReportedSettings {
  const { limits, kit, measure, kitAssumed } = inForce;
  return {
    shutterAngleDegrees: limits.shutterAngleDegrees,
    shutterToleranceStops: limits.shutterToleranceStops,
    baseIso: limits.baseIso,
    windowStops: limits.windowStops,
    clippedFraction: limits.clippedFraction,
    holdChance: limits.holdChance,
    measure,
    kit: kit.map(({ label, stops, rangeStops, polariser, graduated }) => ({
      label,
      stops,
      rangeStops,
      polariser,
      graduated,
    })),
    longestExposureSeconds: limits.longestExposureSeconds,
    secondBaseIso: limits.secondBaseIso,
    kitAssumed,
  };
}

/** What the audit found out about one group of stills, before it is put into words. */
interface AuditedSequence {
  readonly sequence: StillSequence;
  readonly findings: readonly Finding[];
  readonly windowStops: readonly [number, number];
  /** Of a bracket: each frame against the normal one. */
  readonly stepsStops?: readonly number[];
  readonly exposureSeconds?: number;
  /** Of a mapping flight: usual motion of the ground. */
  readonly blurPixels?: number;
  readonly targetSeconds?: number;
  readonly advice?: SeriesAdvice;
  readonly basis?: ExposureBasis;
}

export function reportedSequence(audited: AuditedSequence): ReportedSequence {
  const { sequence, findings, windowStops, advice } = audited;
  const lacksLight = findings.some(
    (finding) => finding.kind === 'series-too-dark' && !isDoubtful(finding) && finding.isBurnt !== true,
  );
  const context: FindingContext = {
    windowStops,
    recordingKind: 'still',
    advised: advice && { mayBeDarker: !lacksLight },
  };
  return {
    kind: sequence.kind,
    paths: sequence.members.map(({ path }) => path),
    takenAs: takenAs(sequence),
    ...kindPart(sequence, audited),
    findings: findings.map((finding) => reportedFinding(finding, context)),
  };
}

function kindPart(sequence: StillSequence, audited: AuditedSequence) {
  switch (sequence.kind) {
    case 'bracket':
      return bracketPart(audited);
    case 'interval':
      return intervalPart(sequence, audited);
    case 'mapping': {
      const { stepMetres, speedMetresPerSecond, heightMetres } = sequence;
      const { exposureSeconds, blurPixels } = audited;
      return { stepMetres, speedMetresPerSecond, heightMetres, exposureSeconds, blurPixels };
    }
    case 'burst':
      return { picturesPerSecond: sequence.picturesPerSecond };
    case 'panorama':
      return { turnDegrees: sequence.turnDegrees };
  }
}

function bracketPart({ stepsStops }: AuditedSequence) {
  if (stepsStops === undefined) return {};
  return { stepsStops, spanStops: Math.max(...stepsStops) - Math.min(...stepsStops) };
}

function intervalPart(
  sequence: IntervalSeries,
  { exposureSeconds, targetSeconds, advice, basis }: AuditedSequence,
) {
  const { intervalSeconds, missingBefore, members } = sequence;
  return {
    intervalSeconds,
    exposureSeconds,
    angleDegrees: exposureSeconds && (360 * exposureSeconds) / intervalSeconds,
    targetSeconds,
    missingFrames: missingBefore.reduce((sum, missing) => sum + missing, 0),
    playback: playbackRates.map((framesPerSecond) => ({
      framesPerSecond,
      seconds: members.length / framesPerSecond,
    })),
    filter: advice && seriesFilter(advice, basis),
  };
}

function seriesFilter(advice: SeriesAdvice, basis: ExposureBasis | undefined): ReportedFilter {
  const { targetSeconds: _target, reachableSeconds: _reachable, otherwise, ...others } = advice;
  const level = { metered: ' and meter', picture: ' and picture level', none: '' }[basis ?? 'none'];
  return {
    ...others,
    basis: `recorded exposure${level}`,
    otherwise: otherwise.map((each) => alternativeText(each)),
  };
}

/** What the audit found out about one recording, before it is put into words. */
interface AuditedRecording
  extends AdvisedRecording, Pick<ReportedRecording, 'track' | 'picture' | 'shutter'> {
  readonly findings: readonly Finding[];
  readonly windowStops: readonly [number, number];
  readonly baseIso: number;
  readonly kit: readonly KitFilter[];
}

export function reportedRecording(audited: AuditedRecording): ReportedRecording {
  const { recording, track, picture, shutter, exposure, advice, leastFilter, findings, windowStops } =
    audited;
  const { path, kind, sizeBytes, sidecars, fingerprint, copies, continues, refusals } = recording;
  const { iso, durationSeconds } = recording.facts;
  return {
    path,
    kind,
    sizeBytes,
    sidecars,
    fingerprint,
    copies,
    continues,
    facts: reportedFacts(recording.facts),
    track,
    shutter,
    picture,
    exposure,
    filter: advice ? reportedFilter(advice) : leastFilter && { ...leastFilter, otherwise: [] },
    findings: findings.map((finding) =>
      reportedFinding(finding, {
        recordingKind: kind,
        windowStops,
        durationSeconds: durationSeconds?.value,
        isoOverStops: iso === undefined ? 0 : Math.max(0, Math.log2(iso.value / audited.baseIso)),
        advised: wholeAdvice(audited, { kit: audited.kit, kitAssumed: audited.kit === commonKit }),
        matters: shutter?.matters,
        seen: shutter?.seen,
      }),
    ),
    refusals,
  };
}

function reportedFinding(finding: Finding, context: FindingContext): ReportedFinding {
  return {
    kind: finding.kind,
    weight: finding.weight,
    text: findingText(finding, context),
    detail: 'detail' in finding ? finding.detail : undefined,
    ...findingRemedy(finding, context),
    ...spanOf(finding),
  };
}

function spanOf(finding: Finding): Pick<ReportedFinding, 'startSeconds' | 'endSeconds'> {
  const { startSeconds, endSeconds } = finding;
  if (finding.kind === 'decoded-in-part')
    return finding.readFraction === undefined ? { startSeconds: finding.atSeconds } : {};
  return { startSeconds, endSeconds };
}

function reportedFacts({ frameRate, playbackFrameRate, ...others }: Facts): ReportedRecording['facts'] {
  return {
    ...others,
    framesPerSecond: frameRate && rateAsNumber(frameRate),
    playbackFramesPerSecond: playbackFrameRate && rateAsNumber(playbackFrameRate),
  };
}

function rateAsNumber({ value, source, others }: Fact<FrameRate>): Fact<number> {
  return {
    value: framesPerSecond(value),
    source,
    others: others?.map((other) => ({ value: framesPerSecond(other.value), source: other.source })),
  };
}

/** The sentence about the pick says as much. */
const coveredByPick: readonly Alternative['kind'][] = ['nearest-leaves-outside', 'no-filter-needed'];

function reportedFilter({ otherwise, ...advice }: FilterAdvice): ReportedFilter {
  const more = otherwise.filter(({ kind }) => advice.pick === undefined || !coveredByPick.includes(kind));
  return { ...advice, otherwise: more.map((each) => alternativeText(each, advice.highlights)) };
}

/** Samples of one clip, and of all clips together. */
const mostOfOneClip = 600;
const mostSamples = 20_000;
/** Of one clip; a document of many has room for fewer (`timelineLength`). */
const mostFrames = 200;

/** How many samples a clip may keep in a document that holds so many of them. */
export function timelineLength(clips: number): number {
  return Math.min(mostOfOneClip, Math.max(1, Math.floor(mostSamples / clips)));
}

/** What a clip recorded over time, summed up and thinned to `longestTimeline` samples. */
export function reportedTrack({ source, samples }: Track, longestTimeline: number): ReportedTrack {
  const step = Math.ceil(samples.length / longestTimeline);
  return {
    source,
    samples: samples.length,
    exposureSeconds: minMedianMax(samples, 'exposureSeconds'),
    iso: minMedianMax(samples, 'iso'),
    meteredOffsetStops: minMedianMax(samples, 'meteredOffsetStops'),
    timeline: samples.filter((_, index) => index % step === 0),
  };
}

function minMedianMax(
  samples: readonly TrackSample[],
  name: 'exposureSeconds' | 'iso' | 'meteredOffsetStops',
): ReportedTrack['iso'] {
  const values = samples.flatMap((sample) => sample[name] ?? []).toSorted((a, b) => a - b);
  const middle = median(values);
  return middle === undefined ? undefined : { min: values[0]!, median: middle, max: values.at(-1)! };
}

/**
 * All that was measured but how decoding ended, which is a finding, when fields were taken, which is a fact, and the
 * shutter, which is judged on its own. Of a clip it keeps no more frames than its time line may be long.
 */
export function reportedPicture(
  measurement: Measurement,
  kind: RecordingKind,
  longestTimeline: number,
): ReportedPicture {
  const { frames, endedEarly: _, scan: __, shutter: ___, ...picture } = measurement;
  const most = Math.min(mostFrames, longestTimeline);
  return { ...picture, frames: kind === 'clip' ? worstFrames(frames, most) : undefined };
}

/** Of each stretch the frame that clips most: thinning must not hide the worst. */
function worstFrames(frames: readonly FrameMeasure[], most: number): ReportedPicture['frames'] {
  const step = Math.max(1, Math.ceil(frames.length / most));
  return Array.from({ length: Math.ceil(frames.length / step) }, (_, at) => {
    const { atSeconds, clippedFraction, levelStops, motionPixelsPerFrame } = frames
      .slice(at * step, (at + 1) * step)
      .reduce((worst, frame) => (frame.clippedFraction > worst.clippedFraction ? frame : worst));
    return { atSeconds, clippedFraction, levelStops, motionPixelsPerFrame };
  });
}
