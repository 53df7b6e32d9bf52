import type { Advice } from './fitting.ts';
import { COMING, type ComingFlight, type FlightPlan } from './plan.ts';
import { recordingsOf, type SeasonRecording } from './recordings.ts';
import { comingScene, MISLABELLED, TRUE_STOPS } from './world.ts';

/** What truth.json holds. Of Halfturn it knows the filter that was advised, and only because a hand fitted it. */
export interface SeasonTruth {
  readonly trueStops: typeof TRUE_STOPS;
  readonly mislabelled: typeof MISLABELLED;
  readonly flights: readonly FlightTruth[];
  readonly coming: typeof COMING_SCENES;
}

export interface FlightTruth extends FlightPlan {
  readonly number: number;
  readonly recordings: readonly SeasonRecording[];
  /** Files whose filter was not on the lens although the notes say so. */
  readonly forgotten: readonly string[];
}

/** A view to be filmed, with the light that is true of it. */
export interface View extends ComingFlight {
  /** EV at ISO 100. */
  readonly sceneEv: number;
}

/** Flights that nobody has flown, on a usual day. */
export const COMING_SCENES = COMING.map((flight) => ({ ...flight, ...comingScene(flight) }));

export function flightTruth(plan: FlightPlan, number: number, advice: Advice): FlightTruth {
  const recordings = recordingsOf(plan, number, advice);
  const forgotten = recordings.filter(({ fitted, noted }) => fitted !== noted);
  return { ...plan, number, recordings, forgotten: forgotten.map(({ file }) => file) };
}

export function seasonTruth(flights: readonly FlightTruth[]): SeasonTruth {
  return { trueStops: TRUE_STOPS, mislabelled: MISLABELLED, flights, coming: COMING_SCENES };
}

/** The clips of a flight before anything is changed. */
export function firstClips({ legs, recordings }: FlightTruth): readonly SeasonRecording[] {
  return recordings.slice(0, legs[0]!.clips);
}

/** What a flight is planned for: the view that it begins with. */
export function firstView({ place, startsAt, sky, legs }: FlightPlan): ComingFlight {
  const { facing, framesPerSecond } = legs[0]!;
  return { place, startsAt, sky, facing, framesPerSecond };
}

/** The same with the light that it turned out to have. */
export function firstViewInTruth(flight: FlightTruth): View {
  const seen = firstClips(flight).map(({ sceneEv }) => sceneEv);
  return { ...firstView(flight), sceneEv: seen.reduce((sum, one) => sum + one, 0) / seen.length };
}
