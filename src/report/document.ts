import { framesPerSecond, type FrameRate } from '../domain/frameRate.ts';
import type { Alternative, FilterAdvice } from '../domain/advice.ts';
import type { Finding } from '../domain/finding.ts';
import type { Facts, Fact, Recording } from '../domain/recording.ts';
import type {
  ReportedExposure,
  ReportedFacts,
  ReportedFilter,
  ReportedFinding,
  ReportedPicture,
  ReportedRecording,
  ReportedShutter,
  ReportedTrack,
} from '../domain/reportedRecording.ts';
import { alternativeText } from './filterWording.ts';
import type { FindingContext } from './findingContext.ts';
import { findingRemedy } from './remedies.ts';
import { findingText } from './wording.ts';

/** What the audit found out about one recording, before it is put into words. */
export interface AuditedRecording {
  readonly recording: Recording;
  readonly track?: ReportedTrack;
  readonly picture?: ReportedPicture;
  readonly shutter?: ReportedShutter;
  readonly exposure: ReportedExposure;
  readonly advice?: FilterAdvice;
  readonly findings: readonly Finding[];
  readonly windowStops: readonly [number, number];
  readonly baseIso: number;
}

export function reportedRecording(audited: AuditedRecording): ReportedRecording {
  const { recording, track, picture, shutter, exposure, advice, findings, windowStops } = audited;
  const { path, kind, sizeBytes, sidecars, fingerprint, copies, continues, refusals } = recording;
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
    filter: advice === undefined ? undefined : reportedFilter(advice),
    findings: findings.map((finding) =>
      reportedFinding(finding, {
        recordingKind: kind,
        windowStops,
        durationSeconds: recording.facts.durationSeconds?.value,
        isoOverStops: isoOverStops(recording, audited.baseIso),
        filterAdvised: advice !== undefined,
        matters: shutter?.matters,
        seen: shutter?.seen ? shutter.seen : undefined,
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
    detail: 'detail' in finding && finding.detail !== undefined ? finding.detail : undefined,
    ...findingRemedy(finding, context),
    ...spanOf(finding),
  };
}

function isoOverStops({ facts }: Recording, baseIso: number): number {
  return facts.iso === undefined ? 0 : Math.max(0, Math.log2(facts.iso.value / baseIso));
}

function spanOf(finding: Finding): Pick<ReportedFinding, 'startSeconds' | 'endSeconds'> {
  const { startSeconds, endSeconds } = finding;
  if (finding.kind === 'decoded-in-part')
    return finding.readFraction === undefined ? { startSeconds: finding.atSeconds } : {};
  return {
    startSeconds,
    endSeconds,
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
    others: others?.map((other) => ({ value: framesPerSecond(other.value), source: other.source })),
  };
}

/** The sentence about the pick says as much. */
const saidWithPick: readonly Alternative['kind'][] = ['nearest-leaves-outside', 'no-filter-needed'];

function reportedFilter({ otherwise, ...advice }: FilterAdvice): ReportedFilter {
  const more = otherwise.filter(({ kind }) => advice.pick === undefined || !saidWithPick.includes(kind));
  return { ...advice, otherwise: more.map(alternativeText) };
}
