import { mkdir, writeFile } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { makeCard } from './card.ts';
import { closing } from './closing.ts';
import { onTargetByAudit, outcomeOf, type Outcome } from './outcomes.ts';
import { FLIGHTS, type FlightPlan } from './plan.ts';
import { forecast, NOTHING_KNOWN, planWords, type Forecast, type Planned } from './plans.ts';
import { runHalfturn } from './runHalfturn.ts';
import { first, run, whole, type Tour } from './steps.ts';
import { percent } from './tables.ts';
import {
  COMING_SCENES,
  firstView,
  flightTruth,
  seasonTruth,
  type FlightTruth,
  type SeasonTruth,
} from './truth.ts';
import { unload } from './unload.ts';

/*
 * The season as a pilot lives it: a flight is planned, flown with what the plan picked, unloaded and audited, by the
 * commands of the README in an empty home folder. The truth is held against them only when all is flown.
 */

export interface TourResult {
  readonly truth: SeasonTruth;
  readonly plans: readonly Planned[];
  /** What was planned before each flight for its first view, by all that was known then, and what came of it. */
  readonly outcomes: readonly Outcome[];
  /** What `learn --json` and `logbook export` printed at the end. */
  readonly learned: string;
  readonly logbook: string;
}

export async function runTour(tour: Tour): Promise<TourResult> {
  await mkdir(join(tour.home, 'cards'), { recursive: true });
  await mkdir(tour.season, { recursive: true });
  tour.onStep({ heading: 'Before the first flight' });
  tour.onStep({
    say: 'The pilot owns five filters (`halfturn kit add ND4` and so on), of which ND32 was bought second-hand, and plans a flight for March with nothing learned yet.',
  });
  for (const label of ['ND4', 'ND8', 'ND16', 'ND32', 'ND64']) await run(tour, ['kit', 'add', label], []);
  const plans = [...(await lookAhead(tour, 0))];
  const unlearned: Forecast[] = [];
  for (const flight of FLIGHTS) unlearned.push(await forecast(tour, firstView(flight), NOTHING_KNOWN));
  const flown: Flown[] = [];
  for (const [before, flight] of FLIGHTS.entries()) {
    flown.push(await fly(tour, flight, before));
    plans.push(...(await lookAhead(tour, before + 1)));
  }
  const truth = seasonTruth(flown.map((one) => one.flight));
  await writeFile(join(tour.season, 'truth.json'), `${JSON.stringify(truth, undefined, 2)}\n`);
  const { learned, logbook } = await lookBack(tour);
  const onTarget = onTargetByAudit(logbook);
  const outcomes = flown.map(({ planned, flight }, at) =>
    outcomeOf(flight, { planned, unlearned: unlearned[at]! }, onTarget),
  );
  for (const step of closing(outcomes, plans)) tour.onStep(step);
  return { truth, plans, outcomes, learned, logbook };
}

/** Flights after which all coming flights are planned, to compare. */
const LOOKS_AFTER = [0, 5, 10];

async function lookAhead(tour: Tour, afterFlights: number): Promise<readonly Planned[]> {
  if (!LOOKS_AFTER.includes(afterFlights)) return [];
  const known = afterFlights > 0 ? { place: true, lens: true } : NOTHING_KNOWN;
  // The page shows the first and the last whole; all three stand in the table at its end.
  await run(tour, planWords(COMING_SCENES[0]!, known), afterFlights === 5 ? [] : first(8));
  const plans: Planned[] = [];
  for (const coming of COMING_SCENES)
    plans.push({ ...(await forecast(tour, coming, known)), afterFlights, coming });
  return plans;
}

interface Flown {
  readonly planned: Forecast;
  readonly flight: FlightTruth;
}

/** The camera records nothing before the plan was read: it decides what is on the lens. */
async function fly(tour: Tour, plan: FlightPlan, afterFlights: number): Promise<Flown> {
  tour.onStep({ heading: `Flight ${afterFlights + 1}: ${plan.place}, ${plan.startsAt.replace('T', ' ')}` });
  const view = firstView(plan);
  const place = FLIGHTS.slice(0, afterFlights).some((earlier) => earlier.place === plan.place);
  const known = { place, lens: afterFlights > 0 };
  await run(tour, planWords(view, known), []);
  const planned = await forecast(tour, view, known);
  const flight = flightTruth(plan, afterFlights + 1, planned);
  await makeCard(tour.season, flight);
  tour.onStep({ say: flightInWords(planned, flight) });
  await unload(tour, flight);
  return { planned, flight };
}

function flightInWords({ pick, probability }: Forecast, flight: FlightTruth): string {
  return `Planned: ${pick} (${percent(probability)}). ${flight.story} Noted: ${worn(flight)}.`;
}

function worn({ recordings }: FlightTruth): string {
  const legs: { label: string; first: string; last: string }[] = [];
  for (const { noted, file } of recordings) {
    const name = basename(file).replace(/\.\w+$/, '');
    const leg = legs.at(-1);
    if (leg?.label === noted) leg.last = name;
    else legs.push({ label: noted, first: name, last: name });
  }
  return legs.map(({ label, first, last }) => `${label} for ${first} to ${last}`).join(', ');
}

async function lookBack(tour: Tour): Promise<Pick<TourResult, 'learned' | 'logbook'>> {
  tour.onStep({ heading: 'What was learned' });
  tour.onStep({ say: 'All flights are in the logbook, each of them once.' });
  await run(tour, ['logbook', 'list'], whole);
  // The plot before the table shows the sun of the moment, too.
  await run(tour, ['learn'], [...first(2), { from: /^ +sun +sky/, lines: 4 }]);
  const { stdout: learned } = await runHalfturn(tour, ['learn', '--json']);
  const { stdout: logbook } = await runHalfturn(tour, ['logbook', 'export']);
  return { learned, logbook };
}
