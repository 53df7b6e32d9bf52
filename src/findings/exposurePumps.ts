import { z } from 'zod';
import { counted, stopsInWords } from '../domain/format.ts';
import type { Measurement } from '../domain/measurement.ts';
import { recordedBrightness, turningPoints, type BrightnessAt } from './brightnessCurve.ts';
import { commonPractice, finding } from './finding.ts';

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

export const exposurePumps = finding({
  kind: 'exposure-pumps',
  data: z.object({
    /** Ways up and down. */
    swings: z.number(),
    largestStops: z.number(),
    basis: z.enum(['recorded', 'picture']),
  }),
  topic: 'exposure',
  title: 'exposure goes up and down',
  check: ({ recording, measurement }) => {
    const recorded = recordedBrightness(recording.track?.samples ?? []);
    const basis = recorded.length > 0 ? ('recorded' as const) : ('picture' as const);
    const curve = basis === 'recorded' ? recorded : steadyLevels(measurement);
    const turns = turningPoints(curve, leastStops[basis]);
    const swings = turns.slice(1).map((turn, i) => Math.abs(turn.stops - turns[i]!.stops));
    if (recording.kind !== 'clip' || swings.length < leastSwings) return undefined;
    const largestStops = Math.max(...swings);
    return {
      weight: basis === 'recorded' && largestStops > mediumStops ? 'medium' : 'low',
      swings: swings.length,
      largestStops,
      basis,
      startSeconds: turns[0]!.atSeconds,
      endSeconds: turns.at(-1)!.atSeconds,
    };
  },
  sentence: ({ swings, largestStops, basis }) =>
    `The exposure goes up and down ${counted(swings, 'time')} during the clip, by up to ${stopsInWords(largestStops)}` +
    `${basis === 'picture' ? ', judged by the brightness of a picture that hardly moves' : ''}: automatic exposure was at work. Lock exposure before recording.`,
  remedy: () => ({
    inTheEdit: 'Level the brightness with keyframes between the turns, or cut around them.',
    nextTime: 'Lock exposure time and ISO before recording.',
  }),
  meaning:
    'The brightness goes up and down again within the shot, as automatic exposure makes it do when bright and dark parts ' +
    'pass. One ramp is no pumping.',
  limit: {
    at: `at least ${leastSwings} ways up and down of ${leastStops.recorded} stop in the recorded settings, or of ${leastStops.picture} in the level of a picture that hardly moves`,
    reason:
      'recorded settings move in thirds and mean what they say; the level also moves with what comes into the picture',
    source: commonPractice,
  },
  example: {
    weight: 'medium',
    swings: 4,
    largestStops: 1.2,
    basis: 'recorded',
    startSeconds: 3,
    endSeconds: 21,
  },
});

function steadyLevels(measurement: Measurement | undefined): readonly BrightnessAt[] {
  const speed = measurement?.motion?.widthsPerSecond.median;
  if (measurement === undefined || speed === undefined || speed > steadyWidthsPerSecond) return [];
  return measurement.frames.flatMap(({ atSeconds, levelStops }) =>
    levelStops === undefined ? [] : [{ atSeconds, stops: levelStops }],
  );
}
