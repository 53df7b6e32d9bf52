import type { Forecast, Planned } from './plans.ts';
import { firstClips, firstViewInTruth, flightTruth, type FlightTruth } from './truth.ts';

/** A plan for the first view of a flight, and what came back of the clips behind the filter that was on then. */
export interface Attempt extends Planned {
  readonly clips: number;
  /** Of these, how many had shutter and exposure right. */
  readonly onTarget: number;
}

/** A flight as it was planned, and as the audit found it. */
export interface Outcome extends Attempt {
  /** Whether the pick was on the lens. */
  readonly followed: boolean;
  /** Under the same light with an empty logbook, its pick followed; what the camera had set is known to the truth. */
  readonly unlearned: Attempt;
}

interface LoggedRecording {
  readonly path: string;
  readonly shutterVerdict?: string;
  readonly inWindow?: boolean;
}

/** Paths of the recordings that the audits found with shutter and exposure right, of what `logbook export` printed. */
export function onTargetByAudit(logbook: string): ReadonlySet<string> {
  const { flights } = JSON.parse(logbook) as {
    flights: readonly { recordings: readonly LoggedRecording[] }[];
  };
  const right = flights
    .flatMap(({ recordings }) => recordings)
    .filter(({ shutterVerdict, inWindow }) => shutterVerdict === 'on' && inWindow === true);
  return new Set(right.map(({ path }) => path));
}

export function outcomeOf(
  flight: FlightTruth,
  plans: { readonly planned: Forecast; readonly unlearned: Forecast },
  onTarget: ReadonlySet<string>,
): Outcome {
  const { number, legs } = flight;
  const clips = firstClips(flight);
  const known = { afterFlights: number - 1, coming: firstViewInTruth(flight), clips: clips.length };
  const [first] = legs;
  const otherwise = flightTruth(
    { ...flight, legs: [{ ...first!, fitted: 'pick' }] },
    number,
    plans.unlearned,
  );
  return {
    ...known,
    ...plans.planned,
    onTarget: clips.filter(({ file }) => onTarget.has(file)).length,
    followed: first!.fitted === 'pick',
    unlearned: {
      ...known,
      ...plans.unlearned,
      onTarget: firstClips(otherwise).filter((clip) => clip.onTarget === true).length,
    },
  };
}
