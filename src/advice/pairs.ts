import type { KitFilter } from '../domain/kit.ts';

/** Two filters in front of each other: their strengths add. */
export interface FilterPair {
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
