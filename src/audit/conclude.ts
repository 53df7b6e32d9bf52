import { adviseFilter } from '../advising/advise.ts';
import { doubtsTheFilter, type Finding } from '../domain/finding.ts';
import type { ReportedRecording } from '../domain/report.ts';
import { exposureDrifts } from '../judging/checks/exposureDrifts.ts';
import { highlightRoom } from '../judging/highlightRoom.ts';
import { judge, mostSeriousFirst } from '../judging/judge.ts';
import { measuredUncertainty } from '../judging/measuredExposure.ts';
import { reportedExposure } from '../judging/sceneLight.ts';
import { findingsOfMember } from '../judging/sequences/judgeSequence.ts';
import { judgeShutter } from '../judging/shutter.ts';
import { stillTime } from '../reading/stillTimes.ts';
import { reportedRecording } from '../reporting/document.ts';
import type { Evidence } from './evidence.ts';

interface Around {
  /** What was found in it beside the others of its flight. */
  readonly beside: readonly Finding[];
  readonly inSequence: boolean;
}

/** What the audit says of one recording. */
export function conclude(evidence: Evidence, { beside, inSequence }: Around): ReportedRecording {
  const { recording, measurement, limits, offset } = evidence;
  const fitted = beside.some(doubtsTheFilter) ? undefined : evidence.fitted;
  const shutter = judgeShutter({ recording, measurement, limits });
  const advice = adviseFilter({
    ...evidence,
    fitted,
    measured: measuredUncertainty(recording, measurement),
    highlightRoom: highlightRoom(measurement, limits),
  });
  const own = judge({ recording, measurement, limits, offset });
  return reportedRecording({
    recording,
    ...(measurement && { measurement }),
    ...(shutter && { shutter }),
    ...(advice && { advice }),
    exposure: reportedExposure(recording, offset, fitted),
    findings: mostSeriousFirst([...(inSequence ? findingsOfMember(own) : own), ...beside]),
    windowStops: limits.windowStops,
    baseIso: limits.baseIso,
  });
}

/** What the checks over a whole flight ask of one recording. */
export function flightLight(evidence: Evidence) {
  const { recording, offset, fitted } = evidence;
  return {
    recording,
    fitted,
    sceneEv100: reportedExposure(recording, offset, fitted).sceneEv100,
    steady: exposureDrifts(evidence) === undefined,
    atSeconds: stillTime(recording)?.atSeconds,
  };
}
