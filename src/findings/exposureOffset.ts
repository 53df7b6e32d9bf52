import { ev100, settingsOf } from '../domain/exposure.ts';
import type { FindingWeight } from '../domain/findingWeight.ts';
import { framesPerSecond } from '../domain/frameRate.ts';
import type { FittedFilter } from '../domain/filterKit.ts';
import type { Measurement } from '../domain/measurement.ts';
import type { Recording } from '../domain/recording.ts';
import { angleRange, motionBlurSource, exposureSecondsForAngle } from '../domain/shutter.ts';
import { median } from '../domain/statistics.ts';
import { lightOfLevel, offsetWhereverWhiteLies } from '../domain/transferCurves.ts';
import type { ExposureOffset } from './finding.ts';

/**
 * How far a recording's exposure is off, + = over: by the camera's meter where it recorded that, else by the mean
 * level of the measured picture against mid-grey, which also depends on the subject. What was dialled in is a part of
 * it. What may come of where a curve has white is left out. Else undefined.
 */
export function exposureOffset(
  recording: Recording,
  measurement: Measurement | undefined,
): ExposureOffset | undefined {
  const metered = recording.facts.meteredOffsetStops?.value ?? trackMedian(recording);
  if (metered !== undefined) return { offsetStops: metered, basis: 'metered' };
  const level = measurement?.levelStops?.median;
  if (level === undefined || isInUnknownCurve(recording, measurement)) return undefined;
  const transfer = recording.facts.transfer?.value;
  return {
    offsetStops: offsetWhereverWhiteLies(lightOfLevel(level, transfer), transfer),
    basis: 'picture',
  };
}

/**
 * A picture that is darker than this misses its exposure by more than a camera or a forgotten filter does (a strong one
 * takes 6 stops): it may show no scene. Common practice, no source.
 */
const mostBelievedStops = 6;

/** Whether an offset can be one of exposure; the meter is believed in any case. */
export function isBelieved({ offsetStops, basis }: ExposureOffset): boolean {
  return basis === 'metered' || Math.abs(offsetStops) <= mostBelievedStops;
}

/** Highlights that end far below the peak are those of a log curve, whatever the file calls it: its level is no light. */
function isInUnknownCurve({ facts }: Recording, measurement: Measurement | undefined): boolean {
  const ceiling = measurement?.ceiling;
  return ceiling?.basis === 'observed' && ceiling.signal < 0.95 && facts.transfer?.value !== 'pq';
}

function trackMedian(recording: Recording): number | undefined {
  return median((recording.track?.samples ?? []).flatMap((sample) => sample.meteredOffsetStops ?? []));
}

/** How a recording was exposed, and the light on its scene where the filter is known. */
export function reportedExposure(
  recording: Recording,
  offset: ExposureOffset | undefined,
  fitted: FittedFilter | undefined,
) {
  const settingsEv100 = ev100(settingsOf(recording.facts));
  const isKnown = settingsEv100 !== undefined && fitted !== undefined && (!offset || isBelieved(offset));
  return {
    ev100: settingsEv100,
    sceneEv100: isKnown ? settingsEv100 + fitted.stops + (offset?.offsetStops ?? 0) : undefined,
    ...offset,
  };
}

/** The usual offset of a series, by the basis that most of its frames have. */
export function usualOffset(offsets: readonly ExposureOffset[]): ExposureOffset | undefined {
  const metered = offsets.filter(({ basis }) => basis === 'metered');
  const basis = metered.length * 2 >= offsets.length ? 'metered' : 'picture';
  const offsetStops = median(offsets.filter((each) => each.basis === basis).map((each) => each.offsetStops));
  return offsetStops === undefined ? undefined : { offsetStops, basis };
}

/**
 * How much a finding about brightness weighs. In a picture that was put together from several exposures no single one made
 * it bright or burnt, and a still that nothing says a camera took may be a drawing, a screen or a scan, as bright as
 * somebody made it: of 35 such stills of open collections that were flagged, 17 were. Both are remarked on only.
 */
export function brightnessWeight(recording: Recording, weight: FindingWeight): FindingWeight {
  return recording.facts.composite === undefined && isOfCamera(recording) ? weight : 'low';
}

function isOfCamera({ kind, facts }: Recording): boolean {
  const { camera, exposureSeconds, fNumber, iso } = facts;
  return kind === 'clip' || [camera, exposureSeconds, fNumber, iso].some((fact) => fact !== undefined);
}

/** The recording with the exposure time that its motion blur tells, where none was recorded and the blur tells one. */
export function withMeasuredExposure(recording: Recording, measurement: Measurement | undefined): Recording {
  const { exposureSeconds, frameRate } = recording.facts;
  const angleDegrees = measurement?.shutter?.angleDegrees;
  if (exposureSeconds !== undefined || frameRate === undefined || angleDegrees === undefined)
    return recording;
  const value = exposureSecondsForAngle({
    angleDegrees: Math.min(360, angleDegrees),
    framesPerSecond: framesPerSecond(frameRate.value),
  });
  return {
    ...recording,
    facts: { ...recording.facts, exposureSeconds: { value, source: motionBlurSource } },
  };
}

/** The recording with when its fields were taken, where it is in fields and the picture tells. */
export function withMeasuredScan(recording: Recording, measurement: Measurement | undefined): Recording {
  const { scan } = recording.facts;
  if (scan === undefined || measurement?.scan === undefined) return recording;
  const measured = { value: measurement.scan, source: `${scan.source}; rows of the picture` };
  return { ...recording, facts: { ...recording.facts, scan: measured } };
}

/** Standard deviation in stops of a measured exposure time: its 95% interval is about four of them wide. */
export function measuredUncertainty(
  recording: Recording,
  measurement: Measurement | undefined,
): { readonly uncertaintyStops: number } | undefined {
  const interval = angleRange(measurement?.shutter?.interval);
  if (interval === undefined || !isMeasuredExposure(recording)) return undefined;
  return { uncertaintyStops: Math.log2(interval.highDegrees / interval.lowDegrees) / (2 * 1.96) };
}

export function isMeasuredExposure({ facts }: Recording): boolean {
  return facts.exposureSeconds?.source === motionBlurSource;
}
