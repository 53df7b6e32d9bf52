import { HalfturnError } from '../domain/halfturnError.ts';
import { parseFilterName } from '../domain/filter.ts';
import { ownedFilter, type FittedFilter, type KitFilter } from '../domain/kit.ts';

/**
 * Reads `--fitted`: a label of the kit first (a variable filter as `label@stops`), then a trade name such as ND16 or a
 * density such as D1.2, or `none`.
 */
export function fittedFromFlag(
  text: string | undefined,
  kit: readonly KitFilter[],
): FittedFilter | undefined {
  if (text === undefined) return undefined;
  const source = '--fitted';
  if (text.toLowerCase() === 'none') return { label: 'none', stops: 0, source };
  const owned = ownedFilter(text, kit);
  if (owned !== undefined && 'uncountable' in owned)
    throw new HalfturnError(`"${text}" cannot be counted: ${owned.uncountable}.`);
  const found = owned ?? parseFilterName(text);
  if (found !== undefined) return { ...found, source };
  const labels = kit.map(({ label }) => label).join(', ');
  throw new HalfturnError(
    `"${text}" is no filter that Halfturn knows.`,
    `Use a label of your kit (${labels}), a factor such as ND16, a density such as D1.2, or none.`,
  );
}
