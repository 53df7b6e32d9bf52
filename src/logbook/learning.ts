import { skies } from '../domain/daylight.ts';
import { capital, stopsInWords } from '../domain/format.ts';
import { groupedBy, mostFrequentFirst } from '../domain/grouping.ts';
import type { LearnedCell, LearnedFlight, LearnedReport, Share } from '../domain/learned.ts';
import { median, quantile } from '../domain/statistics.ts';
import {
  expectedLight,
  isClockInDoubt,
  learnLight,
  rangeOf,
  type LightModel,
  type SceneObservation,
} from './lightModel.ts';
import type { LoggedObservation } from './queries.ts';
import { directionOf } from './sunPosition.ts';

/**
 * Recordings that are learned from, the latest: more flights than the model looks at, unless one of them was a mapping
 * flight of thousands.
 */
export const mostForLight = 100_000;

/** Height of the sun in degrees, from here up; the light changes fastest where it is low. */
const sunBands: readonly { readonly fromDegrees: number; readonly name: string }[] = [
  { fromDegrees: 45, name: 'above 45°' },
  { fromDegrees: 25, name: '25° to 45°' },
  { fromDegrees: 10, name: '10° to 25°' },
  { fromDegrees: 0, name: 'below 10°' },
  { fromDegrees: -90, name: 'set' },
];

/** Counts below this are told as counts, and nothing is concluded from them. */
const fewestToConclude = 5;
/** What happened on one day is no habit. */
const fewestFlights = 2;
/** Share of recordings from which on a pilot's choices need no remark; common practice, no source. */
const wellLanded = 0.75;

export function lightOf(observations: readonly LoggedObservation[]): LightModel {
  return learnLight(observations.slice(-mostForLight).flatMap((each) => sceneOf(each) ?? []));
}

/** The light of a scene: what came through the filter, and what the filter took by its label. */
function sceneOf(observation: LoggedObservation): SceneObservation | undefined {
  const { fitted, sensorEv100, sunElevationDegrees, flightId, sky, camera, place, cameraPitchDegrees } =
    observation;
  if (fitted === undefined || sensorEv100 === undefined || sunElevationDegrees === undefined)
    return undefined;
  return {
    flightId,
    ev100: sensorEv100 + fitted.labelStops,
    elevationDegrees: sunElevationDegrees,
    sky,
    pitchDegrees: cameraPitchDegrees,
    direction: directionOf(observation),
    camera,
    place,
  };
}

interface LearnInput {
  readonly observations: readonly LoggedObservation[];
  readonly kit: LearnedReport['kit'];
  readonly generatedAt: string;
  readonly today?: LearnedReport['today'];
}

/** What the logbook says about the pilot's filters and light. Pure: recordings in, report out. */
export function learn({ observations, kit, generatedAt, today }: LearnInput): LearnedReport {
  const model = lightOf(observations);
  const contradicted = new Map(model.doubted.map(({ flightId, offsetStops }) => [flightId, offsetStops]));
  const byFlight = groupedBy(observations, ({ flightId }) => flightId);
  const flights = [...byFlight.values()].map((members) =>
    learnedFlight(members, contradicted.get(members[0]!.flightId)),
  );
  const cells = cellsOf(observations.filter(({ flightId }) => !contradicted.has(flightId)));
  return {
    format: 'halfturn-learned',
    formatVersion: 2,
    generatedAt,
    sentences: sentencesOf(flights, cells, observations.length),
    flights,
    recordings: observations.length,
    cells,
    kit,
    light: model.flights.length === 0 ? undefined : learnedLight(model),
    today,
  };
}

function learnedLight(model: LightModel): LearnedReport['light'] {
  const offsetStops = median(model.flights.map((flight) => flight.offsetStops))!;
  const expected = expectedLight(model, model.flights.at(-1)!);
  const [, high] = rangeOf(expected);
  return {
    flights: model.flights.length,
    recordings: model.recordings,
    offsetStops,
    reachStops: high - expected.ev100,
  };
}

function learnedFlight(
  members: readonly LoggedObservation[],
  contradictedStops: number | undefined,
): LearnedFlight {
  const { flightId, startedAt, place, sky } = members[0]!;
  const fitted = mostFrequentFirst(members.flatMap((each) => each.fitted?.label ?? []))[0]?.[0];
  return {
    flightId,
    startedAt,
    place,
    sky,
    sunElevationDegrees: median(members.flatMap(({ sunElevationDegrees }) => sunElevationDegrees ?? [])),
    neededStops: median(members.flatMap(({ neededStops }) => neededStops ?? [])),
    fittedLabel: fitted,
    fittedStops: members.find((each) => each.fitted?.label === fitted)?.fitted?.labelStops,
    landed: landed(members),
    contradictedStops,
  };
}

/**
 * A camera that sets its shutter by itself has every exposure right, whatever was fitted: what counts is that the shutter
 * was on, and with it the exposure in its window.
 */
function landed(members: readonly LoggedObservation[]): Share {
  const judged = members.filter(
    ({ shutterVerdict, inWindow }) =>
      (shutterVerdict === 'on' && inWindow !== undefined) ||
      shutterVerdict === 'short' ||
      shutterVerdict === 'long',
  );
  const right = judged.filter(({ shutterVerdict, inWindow }) => shutterVerdict === 'on' && inWindow).length;
  return { of: judged.length, right };
}

/** What was needed and fitted, by the height of the sun and the sky; those without either have nowhere to stand. */
function cellsOf(observations: readonly LoggedObservation[]): readonly LearnedCell[] {
  const placed = observations.filter(({ sunElevationDegrees }) => sunElevationDegrees !== undefined);
  return sunBands.flatMap(({ name }) =>
    [...skies, 'not noted' as const].flatMap((sky) => {
      const members = placed.filter(
        (each) => (each.sky ?? 'not noted') === sky && bandOf(each.sunElevationDegrees!) === name,
      );
      return members.length === 0 ? [] : [cellOf(name, sky, members)];
    }),
  );
}

function bandOf(degrees: number): string | undefined {
  return sunBands.find(({ fromDegrees }) => degrees >= fromDegrees)?.name;
}

function cellOf(sun: string, sky: LearnedCell['sky'], members: readonly LoggedObservation[]): LearnedCell {
  const needed = members.flatMap(({ neededStops }) => neededStops ?? []);
  const pick = mostFrequentFirst(members.flatMap(({ pickLabel }) => pickLabel ?? []))[0];
  // Of two that were fitted equally often, the one that does not fit the light comes first.
  const labels = members
    .flatMap((each) => each.fitted?.label ?? [])
    .toSorted((a, b) => Number(a === pick?.[0]) - Number(b === pick?.[0]));
  const fitted = mostFrequentFirst(labels)[0];
  const better = pick?.[0] === fitted?.[0] ? undefined : pick;
  return {
    sun,
    sky,
    flights: new Set(members.map(({ flightId }) => flightId)).size,
    recordings: members.length,
    neededStops:
      needed.length === 0
        ? undefined
        : [quantile(needed, 0.25)!, quantile(needed, 0.5)!, quantile(needed, 0.75)!],
    fitted: fitted && {
      label: fitted[0],
      recordings: fitted[1],
      landed: landed(members.filter((each) => each.fitted?.label === fitted[0])),
    },
    better: better && { label: better[0], recordings: better[1] },
  };
}

/** What to do differently, the most worth first. */
function sentencesOf(
  flights: readonly LearnedFlight[],
  cells: readonly LearnedCell[],
  recordings: number,
): readonly string[] {
  if (recordings === 0) return ['The logbook holds no recordings yet: every audit enters its flight.'];
  if (flights.every(({ fittedLabel }) => fittedLabel === undefined))
    return [
      'No flight says which filter was on, so nothing can be learned: say it with --fitted, or in flight notes ("halfturn note").',
    ];
  const questions = flights.flatMap(questionOf).slice(-1);
  const changes = cells
    .flatMap((cell) => changeOf(cell))
    .sort((a, b) => b.gain - a.gain)
    .map(({ sentence }) => sentence);
  const sentences = [...questions, ...changes].slice(0, 3);
  if (sentences.length > 0) return sentences;
  const all = flights.reduce(
    (sum, each) => ({ of: sum.of + each.landed.of, right: sum.right + each.landed.right }),
    { of: 0, right: 0 },
  );
  if (all.of < fewestToConclude) return ['Too few recordings are judged to say what to do differently.'];
  const result = `${all.right} of ${all.of} recordings landed with what was fitted`;
  if (flights.length < fewestFlights)
    return [`One flight is too few to say what to do differently: ${result}.`];
  return all.right < wellLanded * all.of
    ? [
        `${result}, and no other filter stands out for the same light: ask "halfturn plan" before each flight.`,
      ]
    : [`Nothing to change stands out: ${result}.`];
}

function questionOf(flight: LearnedFlight): readonly string[] {
  const { contradictedStops, flightId, startedAt, fittedLabel } = flight;
  if (contradictedStops === undefined || fittedLabel === undefined) return [];
  const when = startedAt === undefined ? '' : ` on ${startedAt.slice(0, 10)}`;
  const far = `${stopsInWords(Math.abs(contradictedStops))} ${contradictedStops > 0 ? 'brighter' : 'darker'}`;
  const claim = `Flight ${flightId}${when} would have been ${far} than daylight and your other flights allow`;
  if (isClockInDoubt(contradictedStops))
    return [
      `${claim}: is its clock right? Nothing is learned from it until it is audited with the right --zone.`,
    ];
  const question = fittedLabel === 'none' ? 'was a filter on after all?' : `was ${fittedLabel} really on?`;
  return [
    `${claim}: ${question} Nothing is learned from it until "halfturn logbook correct ${flightId} --fitted <filter>" says what was.`,
  ];
}

/** Another filter is worth a sentence where it would have been carried for most, on more than one flight. */
function changeOf(cell: LearnedCell): readonly { readonly gain: number; readonly sentence: string }[] {
  const { sun, sky, flights, recordings, fitted, better } = cell;
  if (
    fitted === undefined ||
    better === undefined ||
    recordings < fewestToConclude ||
    flights < fewestFlights
  )
    return [];
  if (better.recordings <= recordings / 2) return [];
  const light = `with the sun ${sun === 'set' ? 'down' : sun}${sky === 'not noted' ? '' : `, sky ${sky}`}`;
  const result =
    fitted.landed.of < fewestToConclude
      ? ''
      : `; that landed ${fitted.landed.right} of ${fitted.landed.of} times`;
  const start = better.label === 'none' ? 'start without a filter' : `start with ${better.label}`;
  const habit = fitted.label === 'none' ? 'flew without a filter' : `fitted ${fitted.label}`;
  return [
    {
      gain: better.recordings,
      sentence: `${capital(light)}, ${start}: it fits ${better.recordings} of ${recordings} recordings. Most often you ${habit}${result}.`,
    },
  ];
}
