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
