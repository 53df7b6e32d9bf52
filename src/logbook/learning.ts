import { skies } from '../domain/daylight.ts';
import type { FilterGroup, FilterStrength, LearnedFilter, LearnedReport } from '../domain/learned.ts';
import { median } from '../domain/statistics.ts';
import type { LoggedObservation } from './queries.ts';
import { learnedScene, learnScene, type SceneObservation } from './sceneModel.ts';
import { filterKey, learnStrengths } from './strengths.ts';
import { directionOf } from './sunPosition.ts';

/** Height of the sun in degrees, from here up; the light changes fastest where it is low. */
const lightBands: readonly { readonly fromDegrees: number; readonly name: string }[] = [
  { fromDegrees: 45, name: 'sun above 45°' },
  { fromDegrees: 25, name: 'sun 25° to 45°' },
  { fromDegrees: 10, name: 'sun 10° to 25°' },
  { fromDegrees: 0, name: 'sun below 10°' },
  { fromDegrees: -90, name: 'twilight or night' },
];
const directionNames = { away: 'front light', across: 'side light', toward: 'back light' } as const;
const mostMonths = 24;

/**
 * Recordings that light and strengths are learned from, the latest: some thousand flights. More would narrow nothing
 * that a pilot can use, and what a filter or a place was like ten years ago says little.
 */
export const mostForLight = 20_000;

/** The strengths of the filters and the light of the scenes: all that a plan rests on. */
export function learnLight(observations: readonly LoggedObservation[]) {
  const latest = observations.slice(-mostForLight);
  const strengths = learnStrengths(latest);
  return { strengths, model: learnScene(sceneObservations(latest, strengths)) };
}

/** What the logbook says about the pilot's filters and light. Pure: recordings in, report out. */
export function learn(observations: readonly LoggedObservation[], generatedAt: string): LearnedReport {
  const { strengths, model } = learnLight(observations);
  const files = new Map<string, FilterTallies>();
  const flights = new Set<number>();
  for (const observation of observations) {
    flights.add(observation.flightId);
    if (observation.fitted !== undefined)
      countUnder(entryOf(files, observation.fitted.label, newTallies), observation);
  }
  return {
    format: 'halfturn-learned',
    formatVersion: 1,
    generatedAt,
    flights: flights.size,
    recordings: observations.length,
    filters: [...files]
      .map(([label, file]) => learnedFilter(label, file))
      .sort((a, b) => b.clips + b.stills - a.clips - a.stills),
    strengths,
    scene: learnedScene(model),
  };
}

/** What is counted of a filter on the way through the recordings. */
function newTallies() {
  return {
    total: newTally(),
    flights: new Set<number>(),
    picks: new Map<string, number>(),
    groups: {
      light: new Map<string, Tally>(),
      direction: new Map<string, Tally>(),
      sky: new Map<string, Tally>(),
      month: new Map<string, Tally>(),
      year: new Map<string, Tally>(),
    } satisfies Record<FilterGroup['by'], Map<string, Tally>>,
  };
}

type FilterTallies = ReturnType<typeof newTallies>;

function countUnder({ total, flights, picks, groups }: FilterTallies, observation: LoggedObservation): void {
  const { recordedAt, sunElevationDegrees: height, sky, pickLabel } = observation;
  count(total, observation);
  flights.add(observation.flightId);
  if (pickLabel !== undefined) picks.set(pickLabel, (picks.get(pickLabel) ?? 0) + 1);
  const direction = directionOf(observation);
  const countIn = (group: Map<string, Tally>, value: string | undefined) => {
    if (value !== undefined) count(entryOf(group, value, newTally), observation);
  };
  countIn(
    groups.light,
    height === undefined ? undefined : lightBands.find(({ fromDegrees }) => height >= fromDegrees)?.name,
  );
  countIn(groups.direction, direction && directionNames[direction]);
  countIn(groups.sky, sky);
  countIn(groups.month, recordedAt?.slice(0, 7));
  countIn(groups.year, recordedAt?.slice(0, 4));
}

function learnedFilter(label: string, file: FilterTallies): LearnedFilter {
  const { total, groups } = file;
  const trendBy = groups.month.size <= mostMonths ? 'month' : 'year';
  const trend = groupsOf(trendBy, groups[trendBy]);
  return {
    label,
    flights: file.flights.size,
    clips: total.clips,
    stills: total.recordings - total.clips,
    ...outcome(total),
    better: [...file.picks]
      .filter(([pick]) => pick !== label)
      .map(([pick, recordings]) => ({ label: pick, recordings }))
      .sort((a, b) => b.recordings - a.recordings),
    groups: [
      ...inOrder(
        groupsOf('light', groups.light),
        lightBands.map(({ name }) => name),
      ),
      ...inOrder(groupsOf('direction', groups.direction), Object.values(directionNames)),
      ...inOrder(groupsOf('sky', groups.sky), skies),
    ],
    trend: trend.toSorted((a, b) => (a.value < b.value ? -1 : 1)),
  };
}

function groupsOf(by: FilterGroup['by'], tallies: ReadonlyMap<string, Tally>): readonly FilterGroup[] {
  return [...tallies].map(([value, tally]) => ({
    by,
    value,
    recordings: tally.recordings,
    ...outcome(tally),
  }));
}

function inOrder(groups: readonly FilterGroup[], order: readonly string[]): readonly FilterGroup[] {
  return groups.toSorted((a, b) => order.indexOf(a.value) - order.indexOf(b.value));
}

function entryOf<T>(entries: Map<string, T>, key: string, make: () => T): T {
  const entry = entries.get(key);
  if (entry !== undefined) return entry;
  const added = make();
  entries.set(key, added);
  return added;
}

/** Counts of what came out right, taken in one pass: hundreds of thousands of recordings are looked at once. */
function newTally() {
  return {
    recordings: 0,
    clips: 0,
    shutterKnown: 0,
    shutterRight: 0,
    exposureKnown: 0,
    exposureRight: 0,
    missesStops: [] as number[],
  };
}

type Tally = ReturnType<typeof newTally>;

function count(tally: Tally, observation: LoggedObservation): void {
  const { kind, shutterVerdict, inWindow, additionalStops } = observation;
  tally.recordings += 1;
  if (kind === 'clip') tally.clips += 1;
  if (shutterVerdict !== undefined && shutterVerdict !== 'unknown') {
    tally.shutterKnown += 1;
    if (shutterVerdict === 'on') tally.shutterRight += 1;
  }
  if (inWindow !== undefined) {
    tally.exposureKnown += 1;
    if (inWindow) tally.exposureRight += 1;
  }
  if (additionalStops !== undefined) tally.missesStops.push(additionalStops);
}

/** The shares of a tally, and its median miss where anything is known of that. */
function outcome(tally: Tally): Pick<FilterGroup, 'shutter' | 'exposure' | 'missStops'> {
  const missStops = middle(tally.missesStops);
  return {
    shutter: { of: tally.shutterKnown, right: tally.shutterRight },
    exposure: { of: tally.exposureKnown, right: tally.exposureRight },
    missStops,
  };
}

/** Typed arrays sort several times faster than lists with a comparison. */
function middle(values: readonly number[]): number | undefined {
  const sorted = Float64Array.from(values).sort();
  const { length } = sorted;
  return median([...sorted.subarray(Math.floor((length - 1) / 2), Math.floor(length / 2) + 1)]);
}

/**
 * The light of each scene whose filter is known: what came through it, and what it took by all that is known of its
 * strength. A filter without pairs has the strength of its label.
 */
export function sceneObservations(
  observations: readonly LoggedObservation[],
  strengths: readonly FilterStrength[],
): readonly SceneObservation[] {
  const measured = new Map(strengths.map((strength) => [filterKey(strength), strength.stops]));
  return observations.flatMap((observation): readonly SceneObservation[] => {
    const { fitted, sensorEv100, sunElevationDegrees, flightId, sky, camera, place } = observation;
    if (fitted === undefined || sensorEv100 === undefined || sunElevationDegrees === undefined) return [];
    const stops = measured.get(filterKey(fitted)) ?? fitted.labelStops;
    return [
      {
        flightId,
        ev100: sensorEv100 + stops,
        elevationDegrees: sunElevationDegrees,
        sky,
        direction: directionOf(observation),
        camera,
        place,
      },
    ];
  });
}
