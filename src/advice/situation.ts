import type { FilterPick } from '../domain/advice.ts';
import type { FrameRate } from '../domain/frameRate.ts';
import type { KitFilter } from '../domain/kit.ts';
import type { Limits } from '../domain/limits.ts';
import type { Demand } from './choose.ts';

/** What a clip asked of the filter, what the kit had for it, and what else could have been set. */
export interface Situation {
  readonly demand: Demand;
  readonly pick: FilterPick;
  readonly kit: readonly KitFilter[];
  readonly limits: Limits;
  readonly frameRate: FrameRate;
  readonly fittedKnown: boolean;
  readonly iso: number | undefined;
  readonly fNumber: number | undefined;
  readonly fNumbersSeen: readonly number[];
  /** How much of the demand is for burnt highlights, >= 0. */
  readonly darkerStops: number;
}
