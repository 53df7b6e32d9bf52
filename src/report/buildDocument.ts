import type { ReportedSequence, ReportedSettings } from '../document/auditDocument.ts';
import type { ReportedFilter } from '../document/reportedExposure.ts';
import type { SeriesAdvice } from '../domain/advice.ts';
import type { ExposureBasis } from '../domain/findingWeight.ts';
import type { Finding } from '../findings/index.ts';
import type { KitFilter } from '../domain/kit.ts';
import type { Limits } from '../domain/limits.ts';
import type { StillSequence } from '../domain/sequence.ts';
import { reportedFinding } from './buildRecording.ts';
import { seriesAlternativeText } from './filterWording.ts';

/** The limits and the kit that were in force. */
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
    measure,
    kit: kit.map(({ label, stops, rangeStops, polariser, graduated, measured }) => ({
      label,
      stops,
      rangeStops,
      polariser,
      graduated,
      measured,
    })),
    longestExposureSeconds: limits.longestExposureSeconds,
    secondBaseIso: limits.secondBaseIso,
    kitAssumed,
  };
}

/** What the audit found out about one bracket or interval series, before it is put into words. */
export interface AuditedSequence {
  readonly sequence: StillSequence;
  readonly findings: readonly Finding[];
  readonly windowStops: readonly [number, number];
  /** Of a bracket: each frame against the normal one. */
  readonly stepsStops?: readonly number[];
  readonly exposureSeconds?: number;
  readonly targetSeconds?: number;
  readonly advice?: SeriesAdvice;
  readonly basis?: ExposureBasis;
}

/** Rates at which series are played; BT.709 names them. */
const playbackRates: readonly number[] = [24, 25, 30, 60];

export function reportedSequence(audited: AuditedSequence): ReportedSequence {
  const { sequence, findings, windowStops } = audited;
  return {
    kind: sequence.kind,
    paths: sequence.members.map(({ path }) => path),
    ...(sequence.kind === 'bracket' ? bracketPart(audited) : intervalPart(sequence, audited)),
    findings: findings.map((finding) => reportedFinding(finding, { windowStops, recordingKind: 'still' })),
  };
}

function bracketPart({ stepsStops }: AuditedSequence) {
  if (stepsStops === undefined) return {};
  return { stepsStops, spanStops: Math.max(...stepsStops) - Math.min(...stepsStops) };
}

function intervalPart(
  sequence: Extract<StillSequence, { readonly kind: 'interval' }>,
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
  const { targetSeconds: _target, reachableSeconds: _reachable, otherwise, ...rest } = advice;
  const words = { metered: ' and meter', picture: ' and picture level' } as const;
  return {
    ...rest,
    basis: `recorded exposure${basis === undefined ? '' : words[basis]}`,
    otherwise: otherwise.map(seriesAlternativeText),
  };
}
