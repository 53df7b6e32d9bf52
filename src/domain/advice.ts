import type { FittedFilter } from './kit.ts';

/** What a filter would leave: `leavesStops` is the exposure offset with it on, + = over. */
export interface FilterPick {
  readonly label: string;
  readonly stops: number;
  readonly leavesStops: number;
}

/** What else would have worked, each as data; the sentences stand in reporting/wording.ts. */
export type Alternative =
  | { readonly kind: 'nearest-leaves-outside'; readonly label: string; readonly leavesStops: number }
  | { readonly kind: 'raise-iso'; readonly label: string; readonly iso: number; readonly leavesStops: number }
  | {
      readonly kind: 'stop-down';
      readonly label: string;
      readonly fNumber: number;
      readonly leavesStops: number;
    }
  | {
      readonly kind: 'other-frame-rate';
      readonly label: string;
      readonly framesPerSecond: number;
      readonly leavesStops: number;
    }
  | {
      readonly kind: 'stack';
      readonly labels: readonly [string, string];
      readonly stops: number;
      readonly leavesStops: number;
    }
  | { readonly kind: 'shutter-within-tolerance'; readonly label: string; readonly exposureSeconds: number }
  | { readonly kind: 'no-filter-needed' }
  | { readonly kind: 'strength-not-in-kit'; readonly stops: number; readonly factor: number };

/** What the light asked for against what was on the lens: nothing else, a stronger or a weaker filter. */
export type FilterChange = 'none' | 'stronger' | 'weaker';

export interface FilterAdvice {
  readonly fitted?: FittedFilter;
  /** Total ND that puts shutter, ISO and level where they belong; never below 0. Absent when `fitted` is unknown. */
  readonly neededStops?: number;
  /** Light still to be taken away against what was fitted; negative = too much was taken. */
  readonly additionalStops: number;
  /** `none` where what was on the lens leaves the exposure inside the window. */
  readonly change: FilterChange;
  /** Best of the kit. Absent where `fitted` is unknown and nothing is to be added to it. */
  readonly pick?: FilterPick;
  /** True where `fitted` is unknown: the pick holds if nothing was fitted, else on top of what was. */
  readonly assumesNothingFitted?: boolean;
  /** True where no ISO was recorded: the advice then keeps whatever ISO was in use. */
  readonly keepsIso?: boolean;
  readonly basis: `${'recorded exposure' | 'exposure by motion blur'}${'' | ' and meter' | ' and picture level'}`;
  readonly uncertaintyStops: number;
  readonly otherwise: readonly Alternative[];
}
