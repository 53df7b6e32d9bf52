import type { Measurement } from '../../domain/measurement.ts';
import type { Check } from '../check.ts';
import { recordedBrightness, turningPoints, type BrightnessAt } from '../brightnessCurve.ts';

/**
 * Stops from one turn to the next. Recorded settings move in thirds and mean what they say; the level of the picture
 * also moves with what comes into it. Common practice, no source.
 */
const leastStops = { recorded: 0.3, picture: 0.7 } as const;
/** Widths of the picture per second. Where the view changes faster, a changing level says nothing of the exposure. */
const steadyWidthsPerSecond = 1 / 14;
/** Up and down again. */
const leastSwings = 2;
const mediumStops = 0.7;

/** exposure-pumps: the exposure goes up and down within a clip, as automatic exposure does; one ramp is no pumping. */
export const exposurePumps: Check = ({ recording, measurement }) => {
  const recorded = recordedBrightness(recording.track?.samples ?? []);
  const basis = recorded.length > 0 ? 'recorded' : 'picture';
  const curve = basis === 'recorded' ? recorded : steadyLevels(measurement);
  const turns = turningPoints(curve, leastStops[basis]);
  const swings = turns.slice(1).map((turn, i) => Math.abs(turn.stops - turns[i]!.stops));
  if (recording.kind !== 'clip' || swings.length < leastSwings) return undefined;
  const largestStops = Math.max(...swings);
  return {
    kind: 'exposure-pumps',
    weight: basis === 'recorded' && largestStops > mediumStops ? 'medium' : 'low',
    swings: swings.length,
    largestStops,
    basis,
    startSeconds: turns[0]!.atSeconds,
    endSeconds: turns.at(-1)!.atSeconds,
  };
};

function steadyLevels(measurement: Measurement | undefined): readonly BrightnessAt[] {
  const speed = measurement?.motion?.widthsPerSecond.median;
  if (measurement === undefined || speed === undefined || speed > steadyWidthsPerSecond) return [];
  return measurement.frames.flatMap(({ atSeconds, levelStops }) =>
    levelStops === undefined ? [] : [{ atSeconds, stops: levelStops }],
  );
}
