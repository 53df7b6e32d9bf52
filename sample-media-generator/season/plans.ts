import type { FlightTruth } from './build.ts';
import { PLACES, type ComingFlight } from './plan.ts';
import { runHalfturn, type Installed } from './runHalfturn.ts';
import { CAMERA, settingsEvAt, TRUE_STOPS } from './world.ts';

/** What is planned for, with the light that is true of it. */
export interface View extends ComingFlight {
  readonly latitude: number;
  readonly longitude: number;
  /** EV at ISO 100. */
  readonly sceneEv: number;
}

/** What `plan --json` said, as far as the tour compares it. */
export interface Planned {
  readonly afterFlights: number;
  readonly coming: View;
  readonly median: number;
  readonly low: number;
  readonly high: number;
  readonly pick: string;
  readonly probability: number;
}

/** Whether the logbook knows the place and the lens; what it does not know must be said. */
export interface Known {
  readonly place: boolean;
  readonly lens: boolean;
}

/** What a flight shows first: the recordings before anything is changed. */
export function firstView({ place, startsAt, sky, legs, recordings }: FlightTruth): View {
  const [leg] = legs;
  const { clips, facing, framesPerSecond } = leg!;
  const seen = recordings.slice(0, clips).map(({ sceneEv }) => sceneEv);
  const sceneEv = seen.reduce((sum, one) => sum + one, 0) / seen.length;
  return { place, startsAt, sky, facing, framesPerSecond, ...PLACES[place]!, sceneEv };
}

export function planWords(view: View, known: Known): readonly string[] {
  const { place, startsAt, sky, facing, framesPerSecond, latitude, longitude } = view;
  const words = [
    ['plan'],
    ['--at', `${startsAt}-08:00`],
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

interface PlanDocument {
  readonly moments: readonly { readonly sceneEv100: { median: number; low: number; high: number } }[];
  readonly exposures: readonly { readonly pick: { label: string; probability: number } }[];
}

export async function planned(
  installed: Installed,
  coming: View,
  known: Known,
  afterFlights: number,
): Promise<Planned> {
  const { stdout } = await runHalfturn(installed, [...planWords(coming, known), '--json']);
  const { moments, exposures } = JSON.parse(stdout) as PlanDocument;
  const { label, probability } = exposures[0]!.pick;
  return { afterFlights, coming, ...moments[0]!.sceneEv100, pick: label, probability };
}

type Table = readonly (readonly string[])[];

/** One coming flight, as it was planned again and again. */
export function samePlans(plans: readonly Planned[], coming: View): Table {
  const stops = stopsBehind(coming);
  return [
    ['planned', 'stops of filter needed', '90% range', 'width', 'fit', 'chance'],
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
export function foretold(plans: readonly Planned[]): Table {
  return [
    ['flight', 'stops of filter planned', '90% range', 'fit', 'chance', 'in truth', 'right', 'so it'],
    ...plans.map(({ afterFlights, coming, median, low, high, pick, probability }) => {
      const stops = stopsBehind(coming);
      const right = landing(coming);
      return [
        `${afterFlights + 1}, ${coming.place}, ${coming.sky}`,
        stops(median),
        `${stops(low)} to ${stops(high)}`,
        pick,
        percent(probability),
        stops(coming.sceneEv),
        right.join(' or ') || 'nothing owned',
        right.length === 0 ? '' : right.includes(pick) ? 'lands' : 'misses',
      ];
    }),
  ];
}

function stopsBehind({ framesPerSecond }: View): (ev: number) => string {
  return (ev) => (ev - settingsEvAt(framesPerSecond)).toFixed(1);
}

function percent(probability: number): string {
  return `${Math.round(100 * probability)}%`;
}

/** Filters whose true strength leaves the exposure between -0.7 and 0, with a shutter within a third of a stop. */
export function landing({
  sceneEv,
  framesPerSecond,
}: Pick<View, 'sceneEv' | 'framesPerSecond'>): readonly string[] {
  const needed = sceneEv - settingsEvAt(framesPerSecond);
  const lands = (stops: number) => needed - stops >= -0.7 - 0.33 && needed - stops <= 0.33;
  return Object.entries(TRUE_STOPS).flatMap(([label, stops]) => (lands(stops) ? [label] : []));
}
