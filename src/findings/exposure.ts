import type { Measurement } from '../domain/measurement.ts';
import type { Recording } from '../domain/recording.ts';
import { median } from '../domain/statistics.ts';
import { offsetWhereverWhiteLies } from '../domain/transferUncertainty.ts';
import type { ExposureOffset } from './check.ts';

/**
 * How far a recording's exposure is off, + = over: by the camera's meter where it recorded that, else by the mean
 * level of the measured picture against mid-grey and, for a still, the exposure bias that was dialled in; the level
 * also depends on the subject. What may come of where a curve has white is left out. Else undefined.
 */
export function exposureOffset(
  recording: Recording,
  measurement: Measurement | undefined,
): ExposureOffset | undefined {
  const metered = recording.facts.meteredOffsetStops?.value ?? trackMedian(recording);
  if (metered !== undefined) return { offsetStops: metered, basis: 'metered' };
  const level = measurement?.levelStops?.median;
  if (level === undefined || isInUnknownCurve(recording, measurement)) return undefined;
  const offsetStops = level - wantedOffset(recording);
  return {
    offsetStops: offsetWhereverWhiteLies(offsetStops, recording.facts.transfer?.value),
    basis: 'picture',
  };
}

/** Highlights that end far below the peak are those of a log curve, whatever the file calls it: its level is no light. */
function isInUnknownCurve({ facts }: Recording, measurement: Measurement | undefined): boolean {
  const ceiling = measurement?.ceiling;
  return ceiling?.basis === 'observed' && ceiling.signal < 0.95 && facts.transfer?.value !== 'pq';
}

/** A still that was taken brighter or darker on purpose, as in a bracket, is held against that purpose. */
function wantedOffset({ kind, facts }: Recording): number {
  return kind === 'still' ? (facts.exposureBiasStops?.value ?? 0) : 0;
}

function trackMedian(recording: Recording): number | undefined {
  return median((recording.track?.samples ?? []).flatMap((sample) => sample.meteredOffsetStops ?? []));
}
