import { recordedFilter } from '../advising/fitted.ts';
import type { FittedFilter, KitFilter } from '../domain/kit.ts';
import type { Limits } from '../domain/limits.ts';
import type { Recording } from '../domain/recording.ts';
import { computerZoneOffsetAt } from '../reading/computerZone.ts';
import { fittedFor } from '../reading/notedFilter.ts';
import type { FlightNotes } from '../reading/flightNotes.ts';
import type { Alone } from './concludeAlone.ts';
import type { ConcludedAlone } from './examined.ts';

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
  return all.map((alone) => {
    const { recording } = alone;
    const onLens = fitted ?? fittedByNotes(recording, notes) ?? recordedFilter(recording);
    return { ...alone, limits, kit, fitted: onLens, fNumbersSeen: fNumbersOf(recording, all) };
  });
}

/** All that is known of one recording before the others are held beside it. */
export interface Evidence extends Alone {
  readonly limits: Limits;
  readonly kit: readonly KitFilter[];
  readonly fitted: FittedFilter | undefined;
  readonly fNumbersSeen: readonly number[];
}

function fittedByNotes(recording: Recording, notes: FlightNotes | undefined): FittedFilter | undefined {
  return notes && fittedFor(recording, notes, computerZoneOffsetAt);
}

/** f-numbers that recordings of the same camera carry. */
function fNumbersOf({ facts }: Recording, all: readonly Alone[]): readonly number[] {
  const alike = all.filter(({ recording }) => recording.facts.camera?.value === facts.camera?.value);
  return [...new Set(alike.flatMap(({ recording }) => recording.facts.fNumber?.value ?? []))];
}
