import type { FilterPick } from '../domain/advice.ts';
import type { KitFilter } from '../domain/kit.ts';

/** What a scene asks of the filter. */
export interface Demand {
  /** Light to take away in all, so that the exposure lands on 0; negative where there is too little of it. */
  readonly totalStops: number;
  /** Exposure offsets that count as right, [low, high], + = over. */
  readonly windowStops: readonly [number, number];
}

export const noFilter: KitFilter = { label: 'none', stops: 0 };

/**
 * Stops that a window gives way at both ends: half of the third-stop steps in which cameras are set, so that no
 * filter is called wrong by less than a camera could mend. Marked exposure times alone are up to 0.093 stop from the
 * exact ones: 1/400 s at 24 frames/s asks for 3.06 stops where 3 are meant.
 */
const windowSlackStops = 1 / 6;

/** Keeps floating point from deciding a tie. */
const tieStops = 1e-9;

/**
 * How far an exposure offset lies outside the window, - = under it, + = over it, 0 = inside.
 *
 * @example outsideStops(0.7, [-0.7, 0]) // 0.5333
 */
export function outsideStops(leavesStops: number, [low, high]: readonly [number, number]): number {
  if (leavesStops > high + windowSlackStops + tieStops) return leavesStops - high - windowSlackStops;
  if (leavesStops < low - windowSlackStops - tieStops) return leavesStops - low + windowSlackStops;
  return 0;
}

/**
 * The filter that leaves the exposure inside the window and nearest to its upper end, else nearest to the window;
 * of equals, the weaker. No filter is always one of the choices.
 *
 * @example chooseFilter([{ label: 'ND16', stops: 4 }], { totalStops: 4, windowStops: [-0.7, 0] }) // { label: 'ND16', stops: 4, leavesStops: 0 }
 */
export function chooseFilter(kit: readonly KitFilter[], demand: Demand): FilterPick {
  const weakestFirst = [noFilter, ...kit].sort((a, b) => a.stops - b.stops);
  return weakestFirst
    .map(({ label, stops }) => ({ label, stops, leavesStops: demand.totalStops - stops }))
    .reduce((best, pick) => better(best, pick, demand));
}

function better(best: FilterPick, pick: FilterPick, { windowStops }: Demand): FilterPick {
  const gain =
    Math.abs(outsideStops(best.leavesStops, windowStops)) -
    Math.abs(outsideStops(pick.leavesStops, windowStops));
  if (Math.abs(gain) > tieStops) return gain > 0 ? pick : best;
  const high = windowStops[1];
  return Math.abs(pick.leavesStops - high) < Math.abs(best.leavesStops - high) - tieStops ? pick : best;
}
