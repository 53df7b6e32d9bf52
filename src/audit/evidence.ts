import { recordedFilter } from '../advice/advise.ts';
import type { FittedFilter, KitFilter } from '../domain/kit.ts';
import type { Limits } from '../domain/limits.ts';
import type { Recording } from '../domain/recording.ts';
import { computerZoneOffsetAt } from '../reading/timeZone.ts';
import { fittedFor, type FlightNotes } from '../reading/flightNotes.ts';
import type { AloneAside, ConcludedAlone } from './examined.ts';

interface Given {
  readonly limits: Limits;
  readonly kit: readonly KitFilter[];
  /** The filter that was named for the whole dump. */
  readonly fitted: FittedFilter | undefined;
  readonly notes: FlightNotes | undefined;
}

/** What is known of each recording, in the order given. What could not be read at all is not among them. */
export function gatherEvidence(concluded: readonly ConcludedAlone[], given: Given): readonly Evidence[] {
  const { limits, kit, fitted, notes } = given;
  const all = concluded.flatMap(({ alone }) => alone ?? []);
  const fNumbers = fNumbersByCamera(all);
  return all.map((alone) => {
    const { recording } = alone;
    const onLens = fitted ?? fittedByNotes(recording, notes) ?? recordedFilter(recording);
    return { ...alone, limits, kit, fitted: onLens, fNumbersSeen: fNumbers.get(cameraOf(recording)) ?? [] };
  });
}

/** All that is known of one recording before the others are held beside it. */
export interface Evidence extends AloneAside {
  readonly limits: Limits;
  readonly kit: readonly KitFilter[];
  readonly fitted: FittedFilter | undefined;
  readonly fNumbersSeen: readonly number[];
}

function fittedByNotes(recording: Recording, notes: FlightNotes | undefined): FittedFilter | undefined {
  return notes && fittedFor(recording, notes, computerZoneOffsetAt);
}

/** f-numbers that the recordings of each camera carry. */
function fNumbersByCamera(all: readonly AloneAside[]): ReadonlyMap<string | undefined, readonly number[]> {
  const seen = new Map<string | undefined, Set<number>>();
  for (const { recording } of all) {
    const fNumber = recording.facts.fNumber?.value;
    if (fNumber === undefined) continue;
    const camera = cameraOf(recording);
    seen.set(camera, (seen.get(camera) ?? new Set()).add(fNumber));
  }
  return new Map([...seen].map(([camera, fNumbers]) => [camera, [...fNumbers]]));
}

/** Undefined counts as one camera: of a card that names none. */
function cameraOf({ facts }: Recording): string | undefined {
  return facts.camera?.value;
}
