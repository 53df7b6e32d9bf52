import type { FindingKind } from '../domain/finding.ts';
import type { FindingContext, FindingOf } from './findingContext.ts';

/** What can be done about a finding in the edit, and what to do at the next flight; each may be nothing. */
export interface Remedy {
  readonly inTheEdit?: string;
  readonly nextTime?: string;
}

export type RemediesFor<Kinds extends FindingKind> = {
  readonly [K in Kinds]: (finding: FindingOf<K>, context: FindingContext) => Remedy;
};
