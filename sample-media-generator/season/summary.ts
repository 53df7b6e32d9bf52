import { landing } from './onTarget.ts';
import type { Attempt } from './outcomes.ts';
import type { Planned } from './plans.ts';

export interface Share {
  readonly right: number;
  readonly of: number;
}

/** What a run of plans came to. */
export interface Summary {
  /** Planned light against the true light, in stops. */
  readonly wrongBy: number;
  /** Of the 90% range, in stops. */
  readonly width: number;
  /** That the plans gave their picks. */
  readonly chance: number;
  /** Picks that land, of the flights for which a filter of the case does. */
  readonly landed: Share;
}

export function summaryOf(plans: readonly Planned[]): Summary {
  const possible = plans.filter(({ coming }) => landing(coming).length > 0);
  return {
    wrongBy: mean(plans.map(({ median, coming }) => Math.abs(median - coming.sceneEv))),
    width: mean(plans.map(({ low, high }) => high - low)),
    chance: mean(plans.map(({ probability }) => probability)),
    landed: {
      right: possible.filter(({ coming, pick }) => landing(coming).includes(pick)).length,
      of: possible.length,
    },
  };
}

/** Clips with shutter and exposure right, of all. */
export function clipsOnTarget(attempts: readonly Attempt[]): Share {
  return {
    right: sum(attempts.map(({ onTarget }) => onTarget)),
    of: sum(attempts.map(({ clips }) => clips)),
  };
}

function sum(values: readonly number[]): number {
  return values.reduce((total, one) => total + one, 0);
}

function mean(values: readonly number[]): number {
  return sum(values) / values.length;
}
