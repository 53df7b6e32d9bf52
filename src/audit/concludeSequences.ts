import { adviseSeries } from '../advice/series.ts';
import { lazyList } from '../domain/lazyList.ts';
import type { Recording } from '../domain/recording.ts';
import type { ReportedSequence } from '../document/auditDocument.ts';
import type { StillSequence } from '../domain/sequence.ts';
import { bracketSteps } from '../findings/bracketExposures.ts';
import { judgeSequence } from '../findings/judge.ts';
import { usualOffset } from '../findings/exposureOffset.ts';
import { seriesExposureSeconds, seriesTargetSeconds } from '../findings/seriesExposureShort.ts';
import { reportedSequence } from '../report/buildDocument.ts';
import type { Evidence } from './evidence.ts';

/** What the audit says of each bracket and series. */
export function concludeSequences(
  sequences: readonly StillSequence[],
  gathered: readonly Evidence[],
): readonly ReportedSequence[] {
  const byRecording = new Map(gathered.map((each) => [each.recording, each]));
  return sequences.map((sequence) => concludeSequence(sequence, byRecording));
}

function concludeSequence(
  sequence: StillSequence,
  byRecording: ReadonlyMap<Recording, Evidence>,
): ReportedSequence {
  const members = sequence.members.map((member) => byRecording.get(member)!);
  const [{ limits, kit, fitted }] = members as [Evidence];
  // A series may have thousands of frames, each measured.
  const evidence = lazyList(members.length, (at) => {
    const { offset, whole } = members[at]!;
    return { offset, measurement: whole().measurement };
  });
  const findings = judgeSequence({ sequence, evidence, limits });
  const { windowStops } = limits;
  if (sequence.kind === 'bracket')
    return reportedSequence({
      sequence,
      findings,
      windowStops,
      stepsStops: bracketSteps(sequence.members),
    });
  const offset = usualOffset(members.flatMap((member) => member.offset ?? []));
  const exposureSeconds = seriesExposureSeconds(sequence);
  const targetSeconds = seriesTargetSeconds(sequence.intervalSeconds, limits);
  const sameFilter = members.every((member) => member.fitted?.label === fitted?.label);
  const advice =
    exposureSeconds === undefined
      ? undefined
      : adviseSeries({
          exposureSeconds,
          targetSeconds,
          intervalSeconds: sequence.intervalSeconds,
          iso: members[0]?.recording.facts.iso?.value,
          offset,
          fitted: sameFilter ? fitted : undefined,
          kit,
          limits,
        });
  return reportedSequence({
    sequence,
    findings,
    windowStops,
    exposureSeconds,
    targetSeconds,
    advice,
    basis: offset?.basis,
  });
}
