import { framesPerSecond } from '../domain/frameRate.ts';
import type { FilterAdvice } from '../domain/advice.ts';
import type { Finding } from '../domain/finding.ts';
import type { Measurement } from '../domain/measurement.ts';
import type { Facts, Fact, Recording, Track, TrackSample } from '../domain/recording.ts';
import type { FrameRate } from '../domain/frameRate.ts';
import type {
  MinMedianMax,
  ReportedExposure,
  ReportedFacts,
  ReportedFilter,
  ReportedPicture,
  ReportedRecording,
  ReportedShutter,
  ReportedTrack,
} from '../domain/report.ts';
import { median } from '../domain/statistics.ts';
import { alternativeText, findingText } from './wording.ts';

/** What the audit found out about one recording, before it is put into words. */
export interface AuditedRecording {
  readonly recording: Recording;
  readonly measurement?: Measurement;
  readonly shutter?: ReportedShutter;
  readonly exposure: ReportedExposure;
  readonly advice?: FilterAdvice;
  readonly findings: readonly Finding[];
  readonly windowStops: readonly [number, number];
}

const longestTimeline = 600;

export function reportedRecording(audited: AuditedRecording): ReportedRecording {
  const { recording, measurement, shutter, exposure, advice, findings, windowStops } = audited;
  const { path, kind, sizeBytes, sidecars, track, refusals } = recording;
  return {
    path,
    kind,
    sizeBytes,
    sidecars,
    facts: reportedFacts(recording.facts),
    ...(track === undefined ? {} : { track: reportedTrack(track) }),
    ...(shutter === undefined ? {} : { shutter }),
    ...(measurement === undefined ? {} : { picture: reportedPicture(measurement) }),
    exposure,
    ...(advice === undefined ? {} : { filter: reportedFilter(advice) }),
    findings: findings.map((finding) => ({
      kind: finding.kind,
      weight: finding.weight,
      text: findingText(finding, {
        recordingKind: kind,
        windowStops,
        ...(shutter && { matters: shutter.matters }),
      }),
      ...(finding.startSeconds === undefined ? {} : { startSeconds: finding.startSeconds }),
      ...(finding.endSeconds === undefined ? {} : { endSeconds: finding.endSeconds }),
    })),
    refusals,
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

function reportedPicture(measurement: Measurement): ReportedPicture {
  const { framesMeasured, samplingStepSeconds, ceiling, clippedFraction, channelClippedFraction } =
    measurement;
  const { clippedSpans, clippedShape, crushedFraction, levelStops, motionPixelsPerFrame } = measurement;
  return {
    framesMeasured,
    ...(samplingStepSeconds === undefined ? {} : { samplingStepSeconds }),
    ceiling,
    clippedFraction,
    channelClippedFraction,
    clippedSpans,
    ...(clippedShape === undefined ? {} : { clippedShape }),
    crushedFraction,
    ...(levelStops === undefined ? {} : { levelStops }),
    ...(motionPixelsPerFrame === undefined ? {} : { motionPixelsPerFrame }),
  };
}

function reportedFilter({ otherwise, ...advice }: FilterAdvice): ReportedFilter {
  return { ...advice, otherwise: otherwise.map(alternativeText) };
}
