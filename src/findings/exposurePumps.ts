import { z } from 'zod';
import { settingsStops } from '../domain/exposure.ts';
import { counted, stopsInWords } from '../domain/format.ts';
import type { Measurement } from '../domain/measurement.ts';
import type { TrackSample } from '../domain/recording.ts';
import { commonPractice, finding } from './finding.ts';

/**
 * Stops from one turn to the next. Recorded settings move in thirds and mean what they say; the level of the picture
 * also moves with what comes into it. Common practice, no source.
 */
const leastStops = { recorded: 0.3, picture: 0.7 } as const;
/**
 * Widths of the picture per second: of the usual part of it, and of the fastest parts, which are a turn or another shot.
 * Where the view changes faster, a changing level says nothing of the exposure. Common practice, no source.
 */
const steadyWidthsPerSecond = { median: 1 / 14, high: 0.25 } as const;
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
  sentence: ({ swings, largestStops, basis }) => {
    const how = `goes up and down ${counted(swings, 'time')} during the clip, by up to ${stopsInWords(largestStops)}`;
    return basis === 'picture'
      ? `The brightness ${how}, though the picture hardly moves: automatic exposure does that, and so do cuts and fades.`
      : `The exposure ${how}: automatic exposure was at work. Lock exposure before recording.`;
  },
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
  if (measurement?.motion === undefined || viewChanges(measurement)) return [];
  return measurement.frames.flatMap(({ atSeconds, levelStops }) =>
    levelStops === undefined ? [] : [{ atSeconds, stops: levelStops }],
  );
}

/** Whether what is in the picture changes, and its brightness with it. */
export function viewChanges({ motion }: Measurement): boolean {
  if (motion === undefined) return false;
  const { median, high } = motion.widthsPerSecond;
  return median > steadyWidthsPerSecond.median || high > steadyWidthsPerSecond.high;
}

const settings = ['exposureSeconds', 'iso', 'fNumber'] as const;

/**
 * Brightness that the recorded settings give over time, against an unknown but constant zero; + = brighter. A setting
 * that most samples lack is left out: its change is not known.
 */
export function recordedBrightness(samples: readonly TrackSample[]): readonly BrightnessAt[] {
  const usable = settings.filter(
    (name) => samples.filter((sample) => sample[name] !== undefined).length * 2 > samples.length,
  );
  if (usable.length === 0) return [];
  return samples.flatMap((sample) => {
    if (usable.some((name) => sample[name] === undefined)) return [];
    const stops = settingsStops(Object.fromEntries(usable.map((name) => [name, sample[name]])));
    return [{ atSeconds: sample.startSeconds, stops }];
  });
}

/** A place on a curve of brightness over time; + = brighter. */
interface BrightnessAt {
  readonly atSeconds: number;
  readonly stops: number;
}

/**
 * The places where a curve turns, as far as it goes at least `leastStops` from one to the next: smaller ripples are
 * not turns. Where it starts from and where it ends are included.
 * @example turningPoints([0, 1, 0.9, 1.4, 0].map((stops, atSeconds) => ({ stops, atSeconds })), 0.3).length // 3
 */
export function turningPoints(curve: readonly BrightnessAt[], leastStops: number): readonly BrightnessAt[] {
  const turns: BrightnessAt[] = [];
  let heading: 'up' | 'down' | undefined;
  let [lowest, highest] = [curve[0], curve[0]];
  for (const place of curve) {
    if (lowest === undefined || highest === undefined) break;
    if (place.stops > highest.stops) highest = place;
    if (place.stops < lowest.stops) lowest = place;
    if (heading !== 'down' && highest.stops - place.stops >= leastStops) {
      turns.push(highest);
      [heading, lowest] = ['down', place];
    } else if (heading !== 'up' && place.stops - lowest.stops >= leastStops) {
      turns.push(lowest);
      [heading, highest] = ['up', place];
    }
  }
  const end = heading === 'up' ? highest : lowest;
  return heading === undefined || end === undefined ? [] : [...turns, end];
}
