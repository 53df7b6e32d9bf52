import { recordedFilter } from '../advising/fitted.ts';
import type { FittedFilter, KitFilter } from '../domain/kit.ts';
import type { Limits } from '../domain/limits.ts';
import type { Measurement } from '../domain/measurement.ts';
import type { Recording } from '../domain/recording.ts';
import type { ExposureOffset } from '../judging/check.ts';
import { exposureOffset } from '../judging/exposure.ts';
import { withMeasuredExposure } from '../judging/measuredExposure.ts';
import { fittedFor, type FlightNotes } from '../reading/flightNotes.ts';
import type { Examined } from './examined.ts';

interface Given {
  readonly limits: Limits;
  readonly kit: readonly KitFilter[];
  /** The filter that was named for the whole dump. */
  readonly fitted: FittedFilter | undefined;
  readonly notes: FlightNotes | undefined;
}

/** What is known of each recording, in the order given. What could not be read at all is not among them. */
export function gatherEvidence(examined: readonly Examined[], given: Given): readonly Evidence[] {
  const { limits, kit, fitted, notes } = given;
  return examined.flatMap(({ recording, measurement }): readonly Evidence[] => {
    if (recording === undefined) return [];
    const onLens = fitted ?? fittedByNotes(recording, notes) ?? recordedFilter(recording);
    const fNumbersSeen = fNumbersOf(recording, examined);
    return [evidenceOf({ recording, measurement, limits, kit, fitted: onLens, fNumbersSeen })];
  });
}

/** All that is known of one recording before anything is concluded from it. */
export interface Evidence {
  readonly recording: Recording;
  readonly measurement: Measurement | undefined;
  readonly limits: Limits;
  readonly kit: readonly KitFilter[];
  readonly fitted: FittedFilter | undefined;
  readonly fNumbersSeen: readonly number[];
  readonly offset: ExposureOffset | undefined;
}

function evidenceOf(given: Omit<Evidence, 'offset'>): Evidence {
  const recording = withMeasuredExposure(given.recording, given.measurement);
  return { ...given, recording, offset: exposureOffset(recording, given.measurement) };
}

function fittedByNotes(recording: Recording, notes: FlightNotes | undefined): FittedFilter | undefined {
  return notes && fittedFor(recording, notes);
}

/** f-numbers that recordings of the same camera carry. */
function fNumbersOf({ facts }: Recording, examined: readonly Examined[]): readonly number[] {
  const alike = examined.filter(({ recording }) => recording?.facts.camera?.value === facts.camera?.value);
  return [...new Set(alike.flatMap(({ recording }) => recording?.facts.fNumber?.value ?? []))];
}
