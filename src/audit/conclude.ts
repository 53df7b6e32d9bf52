import { adviseFilter } from '../advice/advise.ts';
import { adviseLeastFilter } from '../advice/leastFilter.ts';
import { adviseExposure, lowLightOf } from '../advice/adviseExposure.ts';
import { adviseSeries } from '../advice/series.ts';
import type { ReportedSequence } from '../document/auditDocument.ts';
import type { ReportedRecording } from '../document/reportedRecording.ts';
import { doubtsTheFilter } from '../domain/findingWeight.ts';
import { momentOf, type ZoneOffsetAt } from '../domain/localTime.ts';
import type { Recording } from '../domain/recording.ts';
import type { IntervalSeries, StillSequence } from '../domain/sequence.ts';
import { bracketSteps } from '../findings/bracketExposures.ts';
import {
  isBelieved,
  reportedExposure,
  usualOffset,
  measuredUncertainty,
} from '../findings/exposureOffset.ts';
import type { FlightLight } from '../findings/finding.ts';
import type { Finding } from '../findings/index.ts';
import { findingsOfMember, lightFaults, mostSeriousFirst, judgeSequence } from '../findings/judge.ts';
import { usualBlurPixels } from '../findings/mappingBlur.ts';
import { seriesExposureSeconds, seriesTargetSeconds, wantsFlow } from '../findings/seriesExposureShort.ts';
import { isSeriesBurnt } from '../findings/seriesTooDark.ts';
import { judgeShutter } from '../findings/shutterVerdict.ts';
import { splitPart } from '../findings/splitPart.ts';
import { reportedSequence, reportedRecording } from '../report/buildDocument.ts';
import type { Evidence } from './evidence.ts';

interface FlightContext {
  /** What was found in it when the whole flight was judged. */
  readonly ofFlight: readonly Finding[];
  /** The group of stills that it belongs to. */
  readonly sequence?: Pick<StillSequence, 'kind'>;
}

/** Groups whose pictures need no filter of their own: they are bright and dark on purpose, or all alike. */
const isAdvisedWhole: Readonly<Record<StillSequence['kind'], boolean>> = {
  bracket: true,
  interval: true,
  mapping: true,
  burst: false,
  panorama: false,
};

/** What the audit says of one recording. */
export function conclude(evidence: Evidence, { ofFlight, sequence }: FlightContext): ReportedRecording {
  const { recording, measurement, track, picture, findings, limits, offset } = evidence;
  const fitted = ofFlight.some(doubtsTheFilter) ? undefined : evidence.fitted;
  const shutter = judgeShutter({ recording, measurement, limits });
  // Which clip it goes on with was not known before all were in order.
  const own = [...findings, ...splitPart.find({ recording, limits })];
  const inSequence = sequence !== undefined && isAdvisedWhole[sequence.kind];
  const all = mostSeriousFirst([...(sequence ? findingsOfMember(own, sequence) : own), ...ofFlight]);
  const subject = { ...evidence, fitted, offset: offset && isBelieved(offset) ? offset : undefined };
  const advice = adviseFilter({ ...subject, measured: measuredUncertainty(recording, measurement) });
  const leastFilter = adviseLeastFilter(subject);
  return reportedRecording({
    recording,
    track,
    picture,
    shutter,
    advice: inSequence ? undefined : advice,
    leastFilter: inSequence ? undefined : leastFilter,
    exposureAdvice:
      advice || leastFilter || inSequence
        ? undefined
        : adviseExposure({ ...subject, faults: lightFaults(all) }),
    inSequence,
    inLowLight: lowLightOf(subject) !== undefined,
    exposure: reportedExposure(recording, offset, fitted),
    findings: all,
    windowStops: limits.windowStops,
    baseIso: limits.baseIso,
    kit: evidence.kit,
  });
}

/** What the checks over a whole flight ask of one recording. */
export function flightLight(
  { recording, offset, fitted, isSteady }: Pick<Evidence, 'recording' | 'offset' | 'fitted' | 'isSteady'>,
  zoneOffsetAt: ZoneOffsetAt,
): FlightLight {
  const { recordedAt, longitude } = recording.facts;
  // Clips know their time in UTC, stills theirs by the clock at the place: only as moments can they be neighbours.
  const moment =
    recordedAt &&
    momentOf({
      recordedAt: recordedAt.value,
      longitude: longitude?.value,
      zoneOffsetAt,
    });
  return {
    recording,
    fitted,
    sceneEv100: reportedExposure(recording, offset, fitted).sceneEv100,
    steady: isSteady,
    atSeconds: moment && moment.atMs / 1000,
  };
}

/** What the audit says of each group of stills. */
export function concludeSequences(
  sequences: readonly StillSequence[],
  evidence: readonly Evidence[],
): readonly ReportedSequence[] {
  const byRecording = new Map(evidence.map((own) => [own.recording, own]));
  return sequences.map((sequence) => concludeSequence(sequence, byRecording));
}

function concludeSequence(
  sequence: StillSequence,
  byRecording: ReadonlyMap<Recording, Evidence>,
): ReportedSequence {
  const members = sequence.members.map((member) => byRecording.get(member)!);
  const { limits } = members[0]!;
  const findings = judgeSequence({ sequence, evidence: members, limits });
  const audited = { sequence, findings, windowStops: limits.windowStops };
  switch (sequence.kind) {
    case 'bracket':
      return reportedSequence({ ...audited, stepsStops: bracketSteps(sequence.members) });
    case 'mapping':
      return reportedSequence({
        ...audited,
        exposureSeconds: seriesExposureSeconds(sequence),
        blurPixels: usualBlurPixels(sequence),
      });
    case 'interval':
      return reportedSequence({ ...audited, ...intervalAdvice(sequence, members) });
    case 'burst':
    case 'panorama':
      return reportedSequence(audited);
  }
}

/** How long the frames of a series were and should have been open, and the filter that this takes. */
function intervalAdvice(sequence: IntervalSeries, members: readonly Evidence[]) {
  const [{ limits, kit, fitted, recording }] = members as [Evidence];
  const { intervalSeconds } = sequence;
  const usual = usualOffset(members.flatMap((member) => member.offset ?? []));
  const asksForMore = usual !== undefined && usual.offsetStops < limits.windowStops[0];
  const isKept = asksForMore && isSeriesBurnt({ evidence: members, limits });
  const offset = usual && isBelieved(usual) && !isKept ? usual : undefined;
  const exposureSeconds = seriesExposureSeconds(sequence);
  const targetSeconds = wantsFlow(sequence) ? seriesTargetSeconds(intervalSeconds, limits) : undefined;
  const told = { exposureSeconds, targetSeconds, basis: offset?.basis };
  if (exposureSeconds === undefined || targetSeconds === undefined) return told;
  const sameFilter = members.every((member) => member.fitted?.label === fitted?.label);
  const advice = adviseSeries({
    exposureSeconds,
    targetSeconds,
    intervalSeconds,
    iso: recording.facts.iso?.value,
    offset,
    fitted: sameFilter ? fitted : undefined,
    kit,
    limits,
  });
  const inLowLight = members.some((member) => lowLightOf({ ...member, offset }) !== undefined);
  // At night long exposures are need, and nobody takes a filter off that was not named.
  return inLowLight && advice.change === 'weaker' && !advice.fitted ? told : { ...told, advice };
}
