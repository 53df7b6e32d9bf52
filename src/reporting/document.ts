import { framesPerSecond } from '../domain/frameRate.ts';
import type { FilterAdvice } from '../domain/advice.ts';
import type { Finding } from '../domain/finding.ts';
import type { FrameMeasure, Measurement } from '../domain/measurement.ts';
import type { Facts, Fact, Recording, RecordingKind, Track, TrackSample } from '../domain/recording.ts';
import type { FrameRate } from '../domain/frameRate.ts';
import type {
  MinMedianMax,
  ReportedExposure,
  ReportedFacts,
  ReportedFilter,
  ReportedFinding,
  ReportedFrame,
  ReportedPicture,
  ReportedRecording,
  ReportedShutter,
  ReportedTrack,
} from '../domain/report.ts';
import { median } from '../domain/statistics.ts';
import { alternativeText } from './alternativeWording.ts';
import type { FindingContext } from './findingContext.ts';
import { findingRemedy } from './remedies.ts';
import { findingText } from './wording.ts';

/** What the audit found out about one recording, before it is put into words. */
export interface AuditedRecording {
  readonly recording: Recording;
  readonly measurement?: Measurement;
  readonly shutter?: ReportedShutter;
  readonly exposure: ReportedExposure;
  readonly advice?: FilterAdvice;
  readonly findings: readonly Finding[];
  readonly windowStops: readonly [number, number];
  readonly baseIso: number;
}

const longestTimeline = 600;
const mostFrames = 200;

export function reportedRecording(audited: AuditedRecording): ReportedRecording {
  const { recording, measurement, shutter, exposure, advice, findings, windowStops } = audited;
  const { path, kind, sizeBytes, sidecars, fingerprint, copies, continues, track, refusals } = recording;
  return {
    path,
    kind,
    sizeBytes,
    sidecars,
    ...(fingerprint === undefined ? {} : { fingerprint }),
    ...(copies === undefined ? {} : { copies }),
    ...(continues === undefined ? {} : { continues }),
    facts: reportedFacts(recording.facts),
    ...(track === undefined ? {} : { track: reportedTrack(track) }),
    ...(shutter === undefined ? {} : { shutter }),
    ...(measurement === undefined ? {} : { picture: reportedPicture(measurement, kind) }),
    exposure,
    ...(advice === undefined ? {} : { filter: reportedFilter(advice) }),
    findings: findings.map((finding) =>
      reportedFinding(finding, {
        recordingKind: kind,
        windowStops,
        ...(recording.facts.durationSeconds && { durationSeconds: recording.facts.durationSeconds.value }),
        isoOverStops: isoOverStops(recording, audited.baseIso),
        ...(shutter && { matters: shutter.matters }),
        ...(shutter?.seen && { seen: shutter.seen }),
      }),
    ),
    refusals,
  };
}

/** A finding in words, with what to do about it. */
export function reportedFinding(finding: Finding, context: FindingContext): ReportedFinding {
  return {
    kind: finding.kind,
    weight: finding.weight,
    text: findingText(finding, context),
    ...findingRemedy(finding, context),
    ...spanOf(finding),
  };
}

function isoOverStops({ facts }: Recording, baseIso: number): number {
  return facts.iso === undefined ? 0 : Math.max(0, Math.log2(facts.iso.value / baseIso));
}

function spanOf(finding: Finding): Pick<ReportedFinding, 'startSeconds' | 'endSeconds'> {
  const { startSeconds, endSeconds } = finding;
  if (finding.kind === 'decoded-in-part') return { startSeconds: finding.atSeconds };
  return {
    ...(startSeconds === undefined ? {} : { startSeconds }),
    ...(endSeconds === undefined ? {} : { endSeconds }),
  };
}

function reportedFacts({ frameRate, playbackFrameRate, ...others }: Facts): ReportedFacts {
  return {
    ...others,
    ...(frameRate === undefined ? {} : { framesPerSecond: rateAsNumber(frameRate) }),
    ...(playbackFrameRate === undefined ? {} : { playbackFramesPerSecond: rateAsNumber(playbackFrameRate) }),
  };
}

function rateAsNumber({ value, source, others }: Fact<FrameRate>): Fact<number> {
  return {
    value: framesPerSecond(value),
    source,
    ...(others === undefined
      ? {}
      : { others: others.map((other) => ({ value: framesPerSecond(other.value), source: other.source })) }),
  };
}

function reportedTrack({ source, samples }: Track): ReportedTrack {
  const step = Math.ceil(samples.length / longestTimeline);
  const spread = (name: 'exposureSeconds' | 'iso' | 'meteredOffsetStops') => {
    const range = minMedianMax(samples, name);
    return range === undefined ? {} : { [name]: range };
  };
  return {
    source,
    samples: samples.length,
    ...spread('exposureSeconds'),
    ...spread('iso'),
    ...spread('meteredOffsetStops'),
    timeline: samples.filter((_, index) => index % step === 0),
  };
}

function minMedianMax(
  samples: readonly TrackSample[],
  name: 'exposureSeconds' | 'iso' | 'meteredOffsetStops',
): MinMedianMax | undefined {
  const values = samples.map((sample) => sample[name]).filter((value) => value !== undefined);
  const middle = median(values);
  if (middle === undefined) return undefined;
  const sorted = values.toSorted((a, b) => a - b);
  return { min: sorted[0] ?? middle, median: middle, max: sorted.at(-1) ?? middle };
}

/** All that was measured but how decoding ended, which is a finding, and the shutter, which is judged on its own. */
function reportedPicture(measurement: Measurement, kind: RecordingKind): ReportedPicture {
  const { frames, endedEarly: _, shutter: __, ...picture } = measurement;
  return { ...picture, ...(kind === 'clip' && { frames: reportedFrames(frames) }) };
}

/** Of each stretch the frame that clips most: thinning must not hide the worst. */
function reportedFrames(frames: readonly FrameMeasure[]): readonly ReportedFrame[] {
  const step = Math.ceil(frames.length / mostFrames);
  const worstOf = (stretch: readonly FrameMeasure[]) =>
    stretch.reduce((worst, frame) => (frame.clippedFraction > worst.clippedFraction ? frame : worst));
  return Array.from({ length: Math.ceil(frames.length / step) || 0 }, (_, at) => {
    const { atSeconds, clippedFraction, levelStops, motionPixelsPerFrame } = worstOf(
      frames.slice(at * step, (at + 1) * step),
    );
    return {
      atSeconds,
      clippedFraction,
      ...(levelStops === undefined ? {} : { levelStops }),
      ...(motionPixelsPerFrame === undefined ? {} : { motionPixelsPerFrame }),
    };
  });
}

function reportedFilter({ otherwise, ...advice }: FilterAdvice): ReportedFilter {
  return { ...advice, otherwise: otherwise.map(alternativeText) };
}
