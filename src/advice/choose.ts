import type { FilterPick } from '../domain/advice.ts';
import { noFilter, type KitFilter } from '../domain/filterKit.ts';
import { halfSettingStepStops } from '../domain/exposure.ts';

export interface Demand {
  /** Light to take away in all, so that the brightest part that lasts lands on 0; negative where there is too little. */
  readonly totalStops: number;
  /** How much less the darkest part that lasts asks, >= 0; 0 where absent. */
  readonly spanStops?: number;
  /** Exposure offsets that count as right, [low, high], + = over. */
  readonly windowStops: readonly [number, number];
}

/** Keeps floating point from deciding a tie. */
const tieStops = 1e-9;

/**
 * How far an exposure offset lies outside the window, - = under it, + = over it, 0 = inside. Both ends give way by half
 * of a setting's step, so that no filter is called wrong by less than a camera could mend: marked exposure times alone
 * are up to 0.093 stop from the exact ones, and 1/400 s at 24 frames/s asks for 3.06 stops where 3 are meant.
 * @example outsideStops(0.7, [-0.7, 0]) // 0.5333
 */
export function outsideStops(leavesStops: number, [low, high]: readonly [number, number]): number {
  if (leavesStops > high + halfSettingStepStops + tieStops) return leavesStops - high - halfSettingStepStops;
  if (leavesStops < low - halfSettingStepStops - tieStops) return leavesStops - low + halfSettingStepStops;
  return 0;
}

export function fits(leavesStops: number, { windowStops }: Demand): boolean {
  return outsideStops(leavesStops, windowStops) === 0;
}

/** What is left to ask when so much light is taken away in another way. */
export function without(demand: Demand, stops: number): Demand {
  return { ...demand, totalStops: demand.totalStops - stops };
}

/**
 * The filter that leaves the brightest part inside the window, and the darkest too where one filter can hold both;
 * then the one nearest to the upper end, else nearest to the window; of equals, the weaker. No filter is always one
 * of the choices; a graduated one never is, and a variable one is set to where it fits best.
 * @example chooseFilter([{ label: 'ND16', stops: 4 }], { totalStops: 4, windowStops: [-0.7, 0] }) // { label: 'ND16', stops: 4, leavesStops: 0 }
 */
export function chooseFilter(kit: readonly KitFilter[], demand: Demand): FilterPick {
  return [noFilter, ...kit]
    .filter(({ graduated }) => graduated !== true)
    .map((filter) => outcome(filter, demand))
    .sort((a, b) => a.stops - b.stops || Number(a.variable ?? false) - Number(b.variable ?? false))
    .reduce((best, pick) => (better(best, pick, demand) ? pick : best));
}

function outcome({ label, stops, rangeStops }: KitFilter, demand: Demand): FilterPick {
  const set =
    rangeStops === undefined ? stops : clamped(demand.totalStops - demand.windowStops[1], rangeStops);
  const leavesStops = demand.totalStops - set;
  const span = demand.spanStops ?? 0;
  return {
    label,
    stops: set,
    leavesStops,
    darkestLeavesStops: span > 0 ? leavesStops - span : undefined,
    variable: rangeStops !== undefined ? true : undefined,
  };
}

function clamped(stops: number, [weakest, strongest]: readonly [number, number]): number {
  return Math.min(strongest, Math.max(weakest, stops));
}

function better(best: FilterPick, pick: FilterPick, demand: Demand): boolean {
  const { windowStops } = demand;
  const outside = (pick: FilterPick) => Math.abs(outsideStops(pick.leavesStops, windowStops));
  const gain = outside(best) - outside(pick);
  if (Math.abs(gain) > tieStops) return gain > 0;
  if (outside(pick) === 0 && holdsWhole(best, demand) !== holdsWhole(pick, demand))
    return holdsWhole(pick, demand);
  const high = windowStops[1];
  return Math.abs(pick.leavesStops - high) < Math.abs(best.leavesStops - high) - tieStops;
}

/**
 * Whether the darkest part stays inside as well. A span that does not fit below the upper end does not count: the
 * choice would else jump to a weaker filter in brighter light.
 */
function holdsWhole({ leavesStops }: FilterPick, { spanStops = 0, windowStops }: Demand): boolean {
  if (outsideStops(windowStops[1] - spanStops, windowStops) !== 0) return false;
  return outsideStops(leavesStops - spanStops, windowStops) === 0;
}

/** Two filters in front of each other: their strengths add. */
interface FilterPair {
  readonly labels: readonly [string, string];
  readonly stops: number;
}

/**
 * Every two of a kit that can be stacked. Two polarisers, and so a variable filter with any polariser, would darken by
 * an angle that is not known; a variable filter is left out altogether, and so is a graduated one.
 */
export function pairsOf(kit: readonly KitFilter[]): readonly FilterPair[] {
  const even = kit.filter(({ rangeStops, graduated }) => rangeStops === undefined && graduated !== true);
  return even.flatMap((first, index) =>
    even
      .slice(index + 1)
      .filter((second) => !(first.polariser === true && second.polariser === true))
      .map((second) => ({ labels: [first.label, second.label] as const, stops: first.stops + second.stops })),
  );
}
