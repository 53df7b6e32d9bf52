/** `high` and `medium` flag a recording (and end `--strict` with 1); `low` is a remark. */
export type FindingWeight = 'high' | 'medium' | 'low';

/** Where an exposure offset came from: the camera's meter, or the measured level of the picture. */
export type ExposureBasis = 'metered' | 'picture';

/**
 * Whether the light contradicts what is said to have been fitted, so that no weather explains it: nothing is learned
 * from such a filter, and no advice rests on it.
 * @example doubtsTheFilter({ kind: 'filter-forgotten', weight: 'medium' }) // true
 */
export function doubtsTheFilter(finding: { readonly kind: string; readonly weight: string }): boolean {
  return aboutFilter.has(finding.kind) && finding.weight !== 'low';
}

const aboutFilter: ReadonlySet<string> = new Set(['filter-forgotten', 'filter-contradicted']);
