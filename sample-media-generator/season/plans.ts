import type { Advice, FilterLabel } from './fitting.ts';
import { OFFSET, PLACES, type ComingFlight } from './plan.ts';
import { runHalfturn, type Installed } from './runHalfturn.ts';
import type { View } from './truth.ts';
import { CAMERA, TRUE_STOPS } from './world.ts';

/** What `plan --json` said, as far as the pilot follows it and the tour compares it. */
export interface Forecast extends Advice {
  /** EV at ISO 100 of the scene: the middle and nine times of ten. */
  readonly median: number;
  readonly low: number;
  readonly high: number;
  /** Chance of the pick. */
  readonly probability: number;
}

/** A forecast beside what is true. */
export interface Planned extends Forecast {
  readonly afterFlights: number;
  readonly coming: View;
}

/** Whether the logbook knows the place and the lens; what it does not know must be said. */
export interface Known {
  readonly place: boolean;
  readonly lens: boolean;
}
export const NOTHING_KNOWN: Known = { place: false, lens: false };

export function planWords(view: ComingFlight, known: Known): readonly string[] {
  const { place, startsAt, sky, facing, framesPerSecond } = view;
  const { latitude, longitude } = PLACES[place]!;
  const words = [
    ['plan'],
    ['--at', `${startsAt}${OFFSET}`],
    ['--for', '0'],
    ['--place', place],
    ['--sky', sky],
    ['--direction', facing],
    ['--fps', String(framesPerSecond)],
    known.place ? [] : ['--latitude', String(latitude), '--longitude', String(longitude)],
    known.lens ? [] : ['--f-number', String(CAMERA.fNumber)],
  ];
  return words.flat();
}

interface Choice {
  readonly label: string;
  readonly probability: number;
}

export interface PlanDocument {
  readonly moments: readonly { readonly sceneEv100: Pick<Forecast, 'median' | 'low' | 'high'> }[];
  readonly exposures: readonly {
    readonly pick: Choice;
    readonly second?: Choice;
    /** The likeliest first. */
    readonly choices: readonly Choice[];
  }[];
}

export async function forecast(installed: Installed, view: ComingFlight, known: Known): Promise<Forecast> {
  const { stdout } = await runHalfturn(installed, [...planWords(view, known), '--json']);
  return forecastOf(JSON.parse(stdout) as PlanDocument);
}

/** What is no single filter of the case cannot be followed: then the next that the plan names is. */
export function forecastOf({ moments, exposures }: PlanDocument): Forecast {
  const { pick, second, choices } = exposures[0]!;
  const named = [pick, ...(second === undefined ? [] : [second]), ...choices].filter(isInCase);
  const followed = named[0]!;
  const pocket = named.find(({ label }) => label !== followed.label)!;
  const { probability } = followed;
  return { ...moments[0]!.sceneEv100, pick: followed.label, pocket: pocket.label, probability };
}

function isInCase(choice: Choice): choice is Choice & { readonly label: FilterLabel } {
  return choice.label !== 'none' && choice.label in TRUE_STOPS;
}
