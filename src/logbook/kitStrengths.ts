import type { FilterStrength } from '../domain/learned.ts';
import type { KitFilter } from '../domain/kit.ts';

/**
 * One standard deviation by which a filter misses its label: a quarter of a stop, and of strong ones half of the stop
 * in ten that is reported; common practice, no source. No filter misses nothing.
 *
 * @example labelSpreadStops(4) // 0.320
 */
export function labelSpreadStops(stops: number): number {
  return stops === 0 ? 0 : Math.hypot(0.25, 0.05 * stops);
}

/** The kit with the strengths that are well supported in place of the labels'; the rest stays as it is. */
export function measuredKit(
  kit: readonly KitFilter[],
  strengths: readonly FilterStrength[],
): readonly KitFilter[] {
  return kit.map((filter) => {
    const found = strengthOf(filter, strengths);
    if (found === undefined || !found.supported || filter.rangeStops !== undefined || filter.graduated)
      return filter;
    const { labelStops, interval, pairs, stops, spreadStops } = found;
    return { ...filter, stops, spreadStops, measured: { labelStops, interval, pairs } };
  });
}

/** One standard deviation by which a filter's strength is not known. */
export function strengthSpreadStops(filter: KitFilter, strengths: readonly FilterStrength[]): number {
  const found = strengthOf(filter, strengths);
  return found?.spreadStops ?? Math.hypot(labelSpreadStops(filter.stops), filter.spreadStops ?? 0);
}

function strengthOf(filter: KitFilter, strengths: readonly FilterStrength[]): FilterStrength | undefined {
  const labelStops = filter.measured?.labelStops ?? filter.stops;
  return strengths.find(
    (one) =>
      one.label.toLowerCase() === filter.label.toLowerCase() && Math.abs(one.labelStops - labelStops) < 0.05,
  );
}
