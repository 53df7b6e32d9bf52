import type { AuditDocument } from '../document/auditDocument.ts';
import type { LoggedFlight, LoggedRecording } from '../document/loggedFlight.ts';
import type { ReportedRecording } from '../document/reportedRecording.ts';
import type { Sky } from '../domain/daylight.ts';
import { doubtsTheFilter } from '../domain/findingWeight.ts';
import type { FittedFilter } from '../domain/filterKit.ts';
import { localTime, momentOf, type ZoneOffsetAt } from '../domain/localTime.ts';
import { sunPosition } from './sunPosition.ts';

/** What the flight notes say of the whole dump. */
interface EntryNotes {
  readonly place?: string;
  readonly latitude?: number;
  readonly longitude?: number;
  readonly sky?: Sky;
  /** The notes as they were written. */
  readonly text?: string;
}

interface EntryContext {
  readonly notes?: EntryNotes;
  /** The filter on the lens where the audit had nothing to advise, as of stills. */
  readonly fittedOf?: (recording: ReportedRecording) => FittedFilter | undefined;
  readonly zoneOffsetAt: ZoneOffsetAt;
}

/** A longer pause ends a flight: batteries are changed in minutes; common practice, no source. */
const longestPauseMs = 2 * 60 * 60_000;

/** The flights of an audit as the logbook keeps them. A dump that holds several days is several flights. */
export function flightsOf(document: AuditDocument, context: EntryContext): readonly LoggedFlight[] {
  const recordings = document.recordings.map((recording) => loggedRecording(recording, context));
  return splitAtPauses(recordings).map((members) => {
    const times = members.flatMap(({ atMs, recordedAt, longitude }) =>
      atMs === undefined || recordedAt === undefined
        ? []
        : localTime({ recordedAt, longitude, zoneOffsetAt: context.zoneOffsetAt }),
    );
    const { notes } = context;
    return {
      enteredAt: document.generatedAt,
      dump: document.dump,
      startedAt: times[0],
      endedAt: times.at(-1),
      place: notes?.place,
      ...positionOf(members, notes),
      sky: notes?.sky,
      notes: notes?.text,
      recordings: members,
    };
  });
}

/** A folder may mix cards, so names tell no order; a recording without a time stays with the one before it. */
function splitAtPauses(recordings: readonly LoggedRecording[]): LoggedRecording[][] {
  let lastMs = recordings.find(({ atMs }) => atMs !== undefined)?.atMs ?? 0;
  const placed = recordings
    .map((recording) => ({ recording, atMs: (lastMs = recording.atMs ?? lastMs) }))
    .sort((a, b) => a.atMs - b.atMs);
  const flights: LoggedRecording[][] = [];
  for (const [index, { recording, atMs }] of placed.entries()) {
    const before = placed[index - 1];
    if (before === undefined || atMs - before.atMs > longestPauseMs) flights.push([]);
    flights.at(-1)!.push(recording);
  }
  return flights;
}

function positionOf(members: readonly LoggedRecording[], notes: EntryNotes | undefined) {
  const placed = members.find(({ latitude, longitude }) => latitude !== undefined && longitude !== undefined);
  const { latitude, longitude } = placed ?? notes ?? {};
  return latitude === undefined || longitude === undefined ? {} : { latitude, longitude };
}

function loggedRecording(
  recording: ReportedRecording,
  { notes, zoneOffsetAt, fittedOf }: EntryContext,
): LoggedRecording {
  const { facts, shutter, picture, exposure, filter, findings, kind } = recording;
  const latitude = facts.latitude?.value ?? notes?.latitude;
  const longitude = facts.longitude?.value ?? notes?.longitude;
  const recordedAt = facts.recordedAt?.value;
  const moment = recordedAt === undefined ? undefined : momentOf({ recordedAt, longitude, zoneOffsetAt });
  const sun =
    moment === undefined || latitude === undefined || longitude === undefined
      ? undefined
      : sunPosition({ atMs: moment.atMs, latitude, longitude });
  // Learning from it, one forgotten filter of six stops made the range of every plan half as wide again.
  const isInDoubt = findings.some(doubtsTheFilter);
  const fitted = isInDoubt ? undefined : (filter?.fitted ?? fittedOf?.(recording));
  const outside = findings.some((finding) => finding.kind === 'too-bright' || finding.kind === 'too-dark');
  return {
    // Every audit gives one; only documents of earlier versions have none.
    fingerprint: recording.fingerprint ?? recording.path,
    path: recording.path,
    kind,
    recordedAt,
    atMs: moment?.atMs,
    timeBasis: moment?.basis,
    camera: facts.camera?.value,
    framesPerSecond: kind === 'clip' ? facts.framesPerSecond?.value : undefined,
    exposureSeconds: facts.exposureSeconds?.value,
    fNumber: facts.fNumber?.value,
    iso: facts.iso?.value,
    sensorEv100: sensorEv100(recording, fitted),
    offsetStops: exposure.offsetStops,
    offsetBasis: exposure.basis,
    inWindow: exposure.offsetStops === undefined ? undefined : !outside,
    shutterVerdict: shutter?.verdict,
    shutterOffsetStops: shutter?.offsetStops,
    clippedFraction: picture?.clippedFraction.max,
    fitted: fitted && { label: fitted.label, labelStops: fitted.stops },
    neededStops: filter?.neededStops,
    additionalStops: filter?.additionalStops,
    pickLabel: filter?.change === 'none' ? fitted?.label : filter?.pick?.label,
    latitude,
    longitude,
    headingDegrees: facts.headingDegrees?.value,
    cameraPitchDegrees: facts.cameraPitchDegrees?.value,
    sunElevationDegrees: sun?.elevationDegrees,
    sunAzimuthDegrees: sun?.azimuthDegrees,
    detail: detailOf(recording),
  };
}

/** Scene light less the filter, which was on the lens whatever its strength turns out to be. */
function sensorEv100({ exposure }: ReportedRecording, fitted: FittedFilter | undefined): number | undefined {
  const { ev100, sceneEv100, offsetStops } = exposure;
  // Where neither a meter nor the picture said by how much, a camera left to itself is right to a third of a stop.
  if (sceneEv100 !== undefined && fitted !== undefined) return sceneEv100 - fitted.stops;
  return ev100 === undefined || offsetStops === undefined ? undefined : ev100 + offsetStops;
}

/** All that was reported but the time lines, which are as long as the clip. */
function detailOf({
  facts,
  shutter,
  picture,
  filter,
  findings,
  refusals,
  sidecars,
}: ReportedRecording): LoggedRecording['detail'] {
  const { frames: _frames, ...measured } = picture ?? {};
  const { blur: _blur, ...verdict } = shutter ?? {};
  return { facts, shutter: verdict, picture: measured, filter, findings, refusals, sidecars };
}
