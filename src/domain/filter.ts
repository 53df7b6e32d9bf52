import { ratioFromStops, stopsFromRatio } from './exposure.ts';

/** Loss of a polariser in stops: 1 is the least an ideal one can take from unpolarised light; pages of practice name 1 to 2 and measured 1.36 (no standard). */
export const polariserStops = { low: 1, typical: 1.5, high: 2 } as const;

/** Factor 1 000 000 (density 6, 20 stops) is beyond any filter that is sold for taking pictures. */
const strongestFactor = 1e6;

/**
 * Strength of a filter from its factor (the number in ND16 or 16x).
 * @param factor light without against light with the filter, >= 1
 * @returns stops of light removed, >= 0
 * Source: transmittance = 1/factor; stops = log2(factor).
 * @example stopsFromFactor(1000) // 9.9658
 */
export function stopsFromFactor(factor: number): number {
  return stopsFromRatio(factor);
}

/**
 * Factor of a filter from its strength in stops removed.
 * @example factorFromStops(4) // 16
 */
export function factorFromStops(filterStops: number): number {
  return ratioFromStops(filterStops);
}

/**
 * Strength of a filter from its optical density.
 * @param density >= 0; the nominal 1.2 of a 16x filter is 0.014 stop short of 4
 * @returns stops of light removed, >= 0
 * Source: transmittance = 10^-density.
 * @example stopsFromDensity(1.2) // 3.9863
 */
export function stopsFromDensity(density: number): number {
  return density * Math.log2(10);
}

/**
 * Optical density of a filter from its strength in stops removed.
 * @example densityFromStops(10) // 3.0103
 */
export function densityFromStops(filterStops: number): number {
  return filterStops / Math.log2(10);
}

/**
 * Reads a filter's name: `ND16` and `16x` are factors, `D1.2` is an optical density, `none` is no filter.
 * `1.2`, `ND1.2` and `ND0.9` stay unread: some mean a density by them and some a factor.
 * @returns the name in one spelling with its strength in stops removed, or undefined
 * @example parseFilterName('nd1000') // { label: 'ND1000', stops: 9.9658 }
 */
export function parseFilterName(name: string): { label: string; stops: number } | undefined {
  const text = name.trim();
  if (/^none$/i.test(text)) return { label: 'none', stops: 0 };
  const density = /^d\s*(\d+(?:\.\d+)?)$/i.exec(text)?.[1];
  if (density !== undefined) return named(`D${density}`, 10 ** Number(density));
  const ndNumber = /^nd\s*(\d+)$/i.exec(text)?.[1];
  if (ndNumber !== undefined) return named(`ND${ndNumber}`, Number(ndNumber));
  const factor = /^(\d+(?:\.\d+)?)\s*[x×]$/i.exec(text)?.[1];
  return factor === undefined ? undefined : named(`${factor}x`, Number(factor));
}

function named(label: string, factor: number): { label: string; stops: number } | undefined {
  if (factor < 1 || factor > strongestFactor) return undefined;
  return { label, stops: stopsFromFactor(factor) };
}
