import type { ComingFlight } from './plan.ts';
import { settingsEvAt, TRUE_STOPS, type Settings } from './world.ts';

/** A shutter this far off 180 degrees still passes: the third of a stop by which dials step. */
const SHUTTER_STOPS = 0.33;
/** Exposure that is wanted, + = over. */
const WINDOW_STOPS = { low: -0.7, high: 0 };
/** Half a step of the dial: nobody can set the exposure nearer. */
const METER_STOPS = 1 / 6;

/** Whether a clip came back with a shutter of 180 degrees and the exposure that is wanted. */
export function isOnTarget({ exposure, meteredOffsetStops }: Settings, framesPerSecond: number): boolean {
  const denominator = Number(exposure.slice('1/'.length));
  return (
    Math.abs(Math.log2(denominator / (2 * framesPerSecond))) <= SHUTTER_STOPS &&
    meteredOffsetStops >= WINDOW_STOPS.low - METER_STOPS &&
    meteredOffsetStops <= WINDOW_STOPS.high + METER_STOPS
  );
}

/** Filters whose true strength leaves the exposure as wanted, with a shutter that passes. */
export function landing({
  sceneEv,
  framesPerSecond,
}: Pick<ComingFlight, 'framesPerSecond'> & { readonly sceneEv: number }): readonly string[] {
  const needed = sceneEv - settingsEvAt(framesPerSecond);
  const lands = (stops: number) =>
    needed - stops >= WINDOW_STOPS.low - SHUTTER_STOPS && needed - stops <= WINDOW_STOPS.high + SHUTTER_STOPS;
  return Object.entries(TRUE_STOPS).flatMap(([label, stops]) => (lands(stops) ? [label] : []));
}
