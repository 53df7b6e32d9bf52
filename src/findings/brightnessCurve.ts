import type { TrackSample } from '../domain/recording.ts';
import { settingsStops } from '../domain/exposure.ts';

const settings = ['exposureSeconds', 'iso', 'fNumber'] as const;

/**
 * Brightness that the recorded settings give over time, against an unknown but constant zero; + = brighter. A setting
 * that most samples lack is left out: its change is not known.
 */
export function recordedBrightness(samples: readonly TrackSample[]): readonly BrightnessAt[] {
  const known = settings.filter(
    (name) => samples.filter((sample) => sample[name] !== undefined).length * 2 > samples.length,
  );
  if (known.length === 0) return [];
  return samples.flatMap((sample) => {
    if (known.some((name) => sample[name] === undefined)) return [];
    const stops = settingsStops(Object.fromEntries(known.map((name) => [name, sample[name]])));
    return [{ atSeconds: sample.startSeconds, stops }];
  });
}

/** A place on a curve of brightness over time; + = brighter. */
export interface BrightnessAt {
  readonly atSeconds: number;
  readonly stops: number;
}

/**
 * The places where a curve turns, as far as it goes at least `leastStops` from one to the next: smaller ripples are
 * not turns. Where it starts from and where it ends are included.
 *
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
