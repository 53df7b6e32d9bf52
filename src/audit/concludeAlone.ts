import { lightOverTime, lightRange, type LightRange } from '../advice/lightOverTime.ts';
import type { ReportedPicture } from '../document/reportedPicture.ts';
import type { ReportedTrack } from '../document/reportedRecording.ts';
import type { Limits } from '../domain/limits.ts';
import type { Measurement } from '../domain/measurement.ts';
import type { Recording } from '../domain/recording.ts';
import { highlightRoom } from '../findings/clipping.ts';
import { exposureDrifts } from '../findings/exposureDrifts.ts';
import { exposureOffset } from '../findings/exposureOffset.ts';
import type { ExposureOffset } from '../findings/finding.ts';
import type { Finding } from '../findings/index.ts';
import { judge } from '../findings/judge.ts';
import { withMeasuredExposure, withMeasuredScan } from '../findings/measuredExposure.ts';
import { reportedPicture, reportedTrack } from '../report/buildRecording.ts';

/** What follows from one recording alone, whatever the others are. */
export interface Alone {
  /** Without its track. */
  readonly recording: Recording;
  /** Of a clip, without its frames. */
  readonly measurement: Measurement | undefined;
  readonly offset: ExposureOffset | undefined;
  readonly findings: readonly Finding[];
  readonly light: LightRange;
  /** Its settings did not move. */
  readonly isSteady: boolean;
  readonly highlightRoom: ReturnType<typeof highlightRoom>;
  readonly track: ReportedTrack | undefined;
  readonly picture: ReportedPicture | undefined;
}

interface Seen {
  readonly recording: Recording;
  readonly measurement?: Measurement;
}

/**
 * Concludes all that only the whole track and every frame can tell, and lets them go: an hour of a clip has a hundred
 * thousand samples, and a card many clips.
 */
export function concludeAlone(
  { recording: read, measurement }: Seen,
  { limits, longestTimeline }: { readonly limits: Limits; readonly longestTimeline: number },
): Alone {
  const recording = withMeasuredExposure(withMeasuredScan(read, measurement), measurement);
  const offset = exposureOffset(recording, measurement);
  const subject = { recording, measurement, limits, offset };
  const { track, ...own } = recording;
  return {
    recording: own,
    measurement: measurement && recording.kind === 'clip' ? { ...measurement, frames: [] } : measurement,
    offset,
    findings: judge(subject),
    light: lightRange(lightOverTime(recording, measurement)),
    isSteady: exposureDrifts.check(subject) === undefined,
    highlightRoom: highlightRoom(measurement, limits),
    track: track && reportedTrack(track, longestTimeline),
    picture: measurement && reportedPicture(measurement, recording.kind, longestTimeline),
  };
}
