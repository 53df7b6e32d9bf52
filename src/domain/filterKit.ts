/** A filter that the pilot owns. Strength is canonical in stops of light removed. */
export interface KitFilter {
  readonly label: string;
  /** Of a variable filter, its weakest setting. */
  readonly stops: number;
  /** The filter contains a polariser; its loss is already part of `stops`. */
  readonly polariser?: boolean;
  /** A variable filter: its weakest and its strongest setting. */
  readonly rangeStops?: readonly [number, number];
  /** Darkens a part of the picture only: owned, and never counted. */
  readonly graduated?: boolean;
  /** One standard deviation by which the strength is not known, beside what labels miss anyway. */
  readonly spreadStops?: number;
}

export const noFilter: KitFilter = { label: 'none', stops: 0 };

/** A filter that sat on the lens, and who says so ("--fitted", "notes", "recorded by the camera"). */
export interface FittedFilter {
  readonly label: string;
  readonly stops: number;
  readonly source: string;
  /** As in `KitFilter`. */
  readonly spreadStops?: number;
}

/** What a name means in a kit: a filter with its strength, or why it cannot be counted. */
type OwnedFilter =
  | { readonly label: string; readonly stops: number; readonly spreadStops?: number }
  | { readonly uncountable: string };

/** A hand sets a variable filter by marks without numbers to about half a stop; common practice, no source. */
const settingSpreadStops = 0.5;

/**
 * The filter of a kit that a name means; a variable one needs its setting behind an "@", in stops.
 * @returns undefined where the kit has no such label
 * @example ownedFilter('vari@3.5', [{ label: 'Vari', stops: 2, rangeStops: [2, 5] }]) // { label: 'Vari at 3.5 stops', stops: 3.5, spreadStops: 0.5 }
 */
export function ownedFilter(name: string, kit: readonly KitFilter[]): OwnedFilter | undefined {
  const exact = kit.find(({ label }) => sameLabel(label, name));
  if (exact?.graduated)
    return { uncountable: 'it darkens a part of the picture only: name what else was on, or none' };
  if (exact?.rangeStops)
    return { uncountable: `it is variable: write its setting in stops, such as ${name}@${exact.stops}` };
  if (exact) return { label: exact.label, stops: exact.stops, spreadStops: exact.spreadStops };
  const [, label = '', setting = ''] = /^(.+)@\s*(\d+(?:\.\d+)?)$/.exec(name) ?? [];
  const variable = kit.find((filter) => filter.rangeStops && sameLabel(filter.label, label));
  if (!variable?.rangeStops) return undefined;
  const stops = Number(setting);
  const [weakest, strongest] = variable.rangeStops;
  if (stops < weakest || stops > strongest)
    return { uncountable: `it can be set from ${weakest} to ${strongest} stops` };
  return { label: `${variable.label} at ${stops} stops`, stops, spreadStops: settingSpreadStops };
}

function sameLabel(label: string, other: string): boolean {
  return label.toLowerCase() === other.trim().toLowerCase();
}

/** Stands in where the pilot named no filters: the full-stop strengths in which filters are sold, ND2 to ND1024. */
export const commonKit: readonly KitFilter[] = Array.from({ length: 10 }, (_, index) => ({
  label: `ND${2 ** (index + 1)}`,
  stops: index + 1,
}));
