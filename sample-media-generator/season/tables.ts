import { landing } from './onTarget.ts';
import type { Attempt, Outcome } from './outcomes.ts';
import type { Planned } from './plans.ts';
import { clipsOnTarget, summaryOf, type Share } from './summary.ts';
import type { View } from './truth.ts';
import { settingsEvAt } from './world.ts';

type Table = readonly (readonly string[])[];

/** One coming flight, as it was planned again and again. */
export function samePlans(plans: readonly Planned[], coming: View): Table {
  const stops = stopsBehind(coming);
  return [
    ['planned', 'stops of filter needed', '90% range', 'width', 'pick', 'chance'],
    ...plans
      .filter((one) => one.coming === coming)
      .map(({ afterFlights, median, low, high, pick, probability }) => [
        afterFlights === 0 ? 'before the first flight' : `after ${afterFlights} flights`,
        stops(median),
        `${stops(low)} to ${stops(high)}`,
        (high - low).toFixed(1),
        pick,
        percent(probability),
      ]),
    ['in truth, on a usual day', stops(coming.sceneEv), '', '', landing(coming).join(' or '), ''],
  ];
}

/** Flight by flight, what was planned against what turned out to be true. */
export function flightByFlight(outcomes: readonly Outcome[]): Table {
  return [
    ['flight', 'stops planned', '90% range', 'pick', 'chance', 'stops in truth', 'right', 'clips on target'],
    ...outcomes.map((outcome) => {
      const { afterFlights, coming, median, low, high, pick, probability } = outcome;
      const stops = stopsBehind(coming);
      return [
        `${afterFlights + 1}, ${coming.place}, ${coming.sky}`,
        stops(median),
        `${stops(low)} to ${stops(high)}`,
        pick,
        percent(probability),
        stops(coming.sceneEv),
        landing(coming).join(' or ') || 'nothing owned',
        `${outcome.onTarget} of ${outcome.clips}${outcome.followed ? '' : ', bare'}`,
      ];
    }),
  ];
}

/** The first half of the season against the second, each beside what plans with nothing learned had come to. */
export function earlyAndLate(outcomes: readonly Outcome[]): Table {
  const half = outcomes.length / 2;
  const columns = [outcomes.slice(0, half), outcomes.slice(half)].flatMap((some) => {
    const [first, last] = [some[0]!, some.at(-1)!].map(({ afterFlights }) => afterFlights + 1);
    const followed = some.filter((one) => one.followed);
    const nothingLearned = (those: readonly Outcome[]) => those.map(({ unlearned }) => unlearned);
    return [
      columnOf(`flights ${first} to ${last}`, some, followed),
      columnOf('with nothing learned', nothingLearned(some), nothingLearned(followed)),
    ];
  });
  return rowNames.map((name, row) => [name, ...columns.map((column) => column[row]!)]);
}

const rowNames = [
  '',
  'planned stops are off by, on average',
  'width of the 90% range',
  'average chance of the picks',
  'right picks, where a filter of the case was right',
  'clips on target behind the pick (flight 1 was bare)',
];

function columnOf(head: string, plans: readonly Attempt[], followed: readonly Attempt[]): readonly string[] {
  const { wrongBy, width, chance, landed } = summaryOf(plans);
  return [
    head,
    wrongBy.toFixed(2),
    width.toFixed(1),
    percent(chance),
    shareOf(landed),
    shareOf(clipsOnTarget(followed)),
  ];
}

function shareOf({ right, of }: Share): string {
  return `${right} of ${of}`;
}

function stopsBehind({ framesPerSecond }: View): (ev: number) => string {
  return (ev) => (ev - settingsEvAt(framesPerSecond)).toFixed(1);
}

export function percent(probability: number): string {
  return `${Math.round(100 * probability)}%`;
}
