import { adviseFilter } from '../advice/advise.ts';
import type { ReportedRecording } from '../document/reportedRecording.ts';
import { doubtsTheFilter } from '../domain/finding.ts';
import { momentOf } from '../domain/localTime.ts';
import { reportedExposure } from '../findings/exposureOffset.ts';
import type { FlightLight } from '../findings/finding.ts';
import type { Finding } from '../findings/index.ts';
import { findingsOfMember, mostSeriousFirst } from '../findings/judge.ts';
import { measuredUncertainty } from '../findings/measuredExposure.ts';
import { judgeShutter } from '../findings/shutterVerdict.ts';
import { splitPart } from '../findings/splitPart.ts';
import { computerZoneOffsetAt } from '../reading/timeZone.ts';
import { reportedRecording } from '../report/buildRecording.ts';
import type { Evidence } from './evidence.ts';

interface Around {
  /** What was found in it beside the others of its flight. */
  readonly beside: readonly Finding[];
  readonly inSequence: boolean;
}

/** What the audit says of one recording. */
export function conclude(evidence: Evidence, { beside, inSequence }: Around): ReportedRecording {
  const { recording, limits, offset } = evidence;
  const { measurement, track, picture, findings, light, highlightRoom } = evidence.whole();
  const fitted = beside.some(doubtsTheFilter) ? undefined : evidence.fitted;
  const shutter = judgeShutter({ recording, measurement, limits });
  const advice = adviseFilter({
    ...evidence,
    measurement,
    light,
    highlightRoom,
    fitted,
    measured: measuredUncertainty(recording, measurement),
  });
  // Which clip it goes on with was not known while it stood alone.
  const own = [...findings, ...splitPart.find({ recording, limits })];
  return reportedRecording({
    recording,
    track,
    picture,
    shutter,
    advice,
    exposure: reportedExposure(recording, offset, fitted),
    findings: mostSeriousFirst([...(inSequence ? findingsOfMember(own) : own), ...beside]),
    windowStops: limits.windowStops,
    baseIso: limits.baseIso,
  });
}

/** What the checks over a whole flight ask of one recording. */
export function flightLight({
  recording,
  offset,
  fitted,
  isSteady,
}: Pick<Evidence, 'recording' | 'offset' | 'fitted' | 'isSteady'>): FlightLight {
  const { recordedAt, longitude } = recording.facts;
  // Clips know their time in UTC, stills theirs by the clock at the place: only as moments can they be neighbours.
  const moment =
    recordedAt &&
    momentOf({
      recordedAt: recordedAt.value,
      longitude: longitude?.value,
      zoneOffsetAt: computerZoneOffsetAt,
    });
  return {
    recording,
    fitted,
    sceneEv100: reportedExposure(recording, offset, fitted).sceneEv100,
    steady: isSteady,
    atSeconds: moment && moment.atMs / 1000,
  };
}
