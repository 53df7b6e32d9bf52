export type FilterLabel = 'none' | 'ND4' | 'ND8' | 'ND16' | 'ND32' | 'ND64';

/** What `halfturn plan` said before a flight: what to fit, and what to keep in the pocket. */
export interface Advice {
  readonly pick: FilterLabel;
  readonly pocket: FilterLabel;
}

/** Bought second-hand, so the pilot films one view with it and without it. */
const DISTRUSTED = 'ND32';

/** What goes onto the lens: what the plan said, the distrusted filter put on or taken off, or what the story wants. */
export type Fitting = FilterLabel | keyof Advice | 'swap';

/** The filter that a fitting comes to. */
export function filterOf(fitting: Fitting, advice: Advice): FilterLabel {
  if (fitting === 'pick' || fitting === 'pocket') return advice[fitting];
  if (fitting !== 'swap') return fitting;
  return advice.pick === DISTRUSTED ? 'none' : DISTRUSTED;
}
