import type { KitFilter } from '../domain/kit.ts';

/** Stands in where the pilot named no filters: the full-stop strengths in which filters are sold, ND2 to ND1024. */
export const commonKit: readonly KitFilter[] = Array.from({ length: 10 }, (_, index) => ({
  label: `ND${2 ** (index + 1)}`,
  stops: index + 1,
}));
