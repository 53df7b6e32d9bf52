import { recordedFilter } from '../advice/advise.ts';
import { lightOverTime, lightRange, type LightRange } from '../advice/lightOverTime.ts';
import type { ReportedPicture, ReportedTrack } from '../document/reportedRecording.ts';
import type { FittedFilter, KitFilter } from '../domain/filterKit.ts';
import type { Limits } from '../domain/limits.ts';
import type { Measurement } from '../domain/measurement.ts';
import type { Recording } from '../domain/recording.ts';
import { highlightRoom } from '../findings/clipping.ts';
import { exposureDrifts } from '../findings/exposureDrifts.ts';
import { exposureOffset, withMeasuredExposure, withMeasuredScan } from '../findings/exposureOffset.ts';
import type { ExposureOffset } from '../findings/finding.ts';
import type { Finding } from '../findings/index.ts';
import { judge } from '../findings/judge.ts';
import { fittedFor, type FlightNotes } from '../reading/flightNotes.ts';
import { shootingOrder, joinedSplits } from '../reading/shootingOrder.ts';
import type { ZoneOffsetAt } from '../domain/localTime.ts';
import { reportedPicture, reportedTrack } from '../report/buildDocument.ts';

/** What one recording tells by itself, whatever the others are. */
export interface OwnEvidence {
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

/** All that is known of one recording before the others of its flight are held against it. */
export interface Evidence extends OwnEvidence {
  readonly limits: Limits;
  readonly kit: readonly KitFilter[];
  readonly fitted: FittedFilter | undefined;
  readonly fNumbersSeen: readonly number[];
}

/**
 * Draws from one recording all that its whole track and every frame tell, and lets them go: an hour of a clip has a
 * hundred thousand samples, and a card many clips.
 */
export function evidenceOf(
  { recording: read, measurement }: { readonly recording: Recording; readonly measurement?: Measurement },
  { limits, longestTimeline }: { readonly limits: Limits; readonly longestTimeline: number },
): OwnEvidence {
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

interface Given {
  readonly limits: Limits;
  readonly kit: readonly KitFilter[];
  /** The filter that was named for the whole dump. */
  readonly fitted: FittedFilter | undefined;
  readonly notes: FlightNotes | undefined;
  readonly zoneOffsetAt: ZoneOffsetAt;
}

/** Recordings as they were taken, parts of one shot joined, each with what notes and the others add to it. */
export function gatherEvidence(all: readonly OwnEvidence[], given: Given): readonly Evidence[] {
  const { limits, kit, fitted, notes, zoneOffsetAt } = given;
  const fNumbers = fNumbersByCamera(all);
  return inShootingOrder(all).map((own) => {
    const { recording } = own;
    const onLens =
      fitted ?? (notes && fittedFor(recording, notes, zoneOffsetAt)) ?? recordedFilter(recording);
    return { ...own, limits, kit, fitted: onLens, fNumbersSeen: fNumbers.get(cameraOf(recording)) ?? [] };
  });
}

function inShootingOrder(all: readonly OwnEvidence[]): readonly OwnEvidence[] {
  const byPath = new Map(all.map((own) => [own.recording.path, own]));
  const recordings = joinedSplits(shootingOrder(all.map(({ recording }) => recording)));
  return recordings.map((recording) => ({ ...byPath.get(recording.path)!, recording }));
}

/** f-numbers that the recordings of each camera carry. */
function fNumbersByCamera(all: readonly OwnEvidence[]): ReadonlyMap<string | undefined, readonly number[]> {
  const apertures = new Map<string | undefined, Set<number>>();
  for (const { recording } of all) {
    const fNumber = recording.facts.fNumber?.value;
    if (fNumber === undefined) continue;
    const camera = cameraOf(recording);
    apertures.set(camera, (apertures.get(camera) ?? new Set()).add(fNumber));
  }
  return new Map([...apertures].map(([camera, fNumbers]) => [camera, [...fNumbers]]));
}

/** Undefined counts as one camera: of a card that names none. */
function cameraOf({ facts }: Recording): string | undefined {
  return facts.camera?.value;
}
