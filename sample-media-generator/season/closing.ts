import type { Outcome } from './outcomes.ts';
import type { Planned } from './plans.ts';
import type { Step } from './steps.ts';
import { clipsOnTarget } from './summary.ts';
import { earlyAndLate, flightByFlight, samePlans } from './tables.ts';
import { COMING_SCENES } from './truth.ts';

/** What the season came to: the plans against the truth, whether following them paid off, and one plan growing up. */
export function closing(outcomes: readonly Outcome[], plans: readonly Planned[]): readonly Step[] {
  return [
    { heading: 'Whether following the plan paid off' },
    {
      say:
        'For the view that each flight begins with. Right is every filter of the case that lands by its true strength; ' +
        'clips are on target where the audit found shutter and exposure right.',
    },
    { table: flightByFlight(outcomes) },
    { say: paidOff(outcomes) },
    { table: earlyAndLate(outcomes) },
    { heading: 'The same coming flight, planned three times' },
    { table: samePlans(plans, COMING_SCENES[0]!) },
  ];
}

function paidOff(outcomes: readonly Outcome[]): string {
  const followed = outcomes.filter((one) => one.followed);
  const { right, of } = clipsOnTarget(followed);
  const otherwise = clipsOnTarget(followed.map(({ unlearned }) => unlearned)).right;
  return (
    `Behind the picks ${right} of ${of} clips came back on target; behind those of an empty logbook it would have been ` +
    `${otherwise}. Late flights may have light that is easier to plan for, so the empty logbook stands beside each half.`
  );
}
