import { daylightEv100, skies, type Sky, type LightDirection } from '../domain/daylight.ts';
import { groupedBy, mostFrequentFirst } from '../domain/grouping.ts';
import type { LearnedReport, SceneConditions } from '../domain/learned.ts';
import { mixtureMean, mixtureQuantile, type Mixture } from './distributions.ts';
import {
  estimate,
  posteriorOf,
  predictive,
  sumsOf,
  type Observation,
  type Posterior,
  type Prior,
  type Terms,
} from './posterior.ts';

/** Light on a scene as one recording with a known filter tells it. */
export interface SceneObservation extends SceneConditions {
  readonly flightId: number;
  readonly ev100: number;
}

interface WeightedPosterior {
  /** [0, 1] */
  readonly weight: number;
  readonly posterior: Posterior;
}

export interface SceneModel extends OwnTerms {
  readonly prior: Prior;
  /** What each term is called. */
  readonly names: readonly string[];
  /** One for each share of the spread that lies between flights, with how likely that share is. */
  readonly posteriors: readonly WeightedPosterior[];
  /** In how many observations each term counts. */
  readonly observationsOf: readonly number[];
  readonly observations: number;
  readonly flights: number;
}

/** How much of the spread lies between flights against within one: as likely a tenth as ten times, in between alike. */
const groupVariances = [0.1, 0.3, 0.6, 1, 2, 4, 8] as const;
const leastWeight = 1e-4;

/**
 * What the light of a scene is, learned from observations; without any, what is published.
 *
 * The published curves say what to expect; the model learns by how much this pilot's scenes differ: as a whole, by sky,
 * direction, height of the sun, camera and place. Flights as a whole differ too, so that twenty recordings of one
 * afternoon do not count as twenty afternoons.
 */
export function learnScene(observations: readonly SceneObservation[]): SceneModel {
  const own = ownTerms(observations);
  const prior = scenePrior(own);
  const flights = byFlight(observations, own);
  const sums = sumsOf(prior, flights);
  return {
    prior,
    names: [...fixedTerms.map(([name]) => name), ...own.cameras.keys(), ...own.places.keys()],
    ...own,
    posteriors: byEvidence(groupVariances.map((groupVariance) => posteriorOf(prior, sums, groupVariance))),
    observationsOf: observationsOfTerms(flights.flat(), prior.mean.length),
    observations: observations.length,
    flights: flights.length,
  };
}

function byFlight(
  observations: readonly SceneObservation[],
  own: OwnTerms,
): readonly (readonly Observation[])[] {
  const flights = groupedBy(observations, ({ flightId }) => flightId);
  return [...flights.values()].map((flight) =>
    flight.map((observation) => ({
      ...termsOf(observation, own),
      y: observation.ev100 - daylight(observation),
    })),
  );
}

/** Posteriors with the weight that their evidence gives them; those that hardly count are left out. */
function byEvidence(posteriors: readonly Posterior[]): readonly WeightedPosterior[] {
  const best = Math.max(...posteriors.map(({ logEvidence }) => logEvidence));
  const total = posteriors.reduce((sum, { logEvidence }) => sum + Math.exp(logEvidence - best), 0);
  return posteriors
    .map((posterior) => ({ weight: Math.exp(posterior.logEvidence - best) / total, posterior }))
    .filter(({ weight }) => weight > leastWeight);
}

function observationsOfTerms(observations: readonly Observation[], terms: number): readonly number[] {
  const counts = Array.from({ length: terms }, () => 0);
  for (const { at, by } of observations)
    for (let i = 0; i < at.length; i++) if (by[i] !== 0) counts[at[i]!]! += 1;
  return counts;
}

/** Distribution of the light of a scene to come, in EV at ISO 100. */
export function predictScene(model: SceneModel, conditions: SceneConditions): Mixture {
  const terms = termsOf(conditions, model);
  const expected = daylight(conditions);
  return model.posteriors.map(({ weight, posterior }) => {
    const part = predictive(posterior, terms);
    return { weight, part: { ...part, location: part.location + expected } };
  });
}

export function learnedScene(model: SceneModel): LearnedReport['scene'] {
  const mean = (of: (posterior: Posterior) => number) =>
    model.posteriors.reduce((sum, { weight, posterior }) => sum + weight * of(posterior), 0);
  const noiseVariance = ({ rate, shape }: Posterior) => rate / (shape - 1);
  return {
    observations: model.observations,
    flights: model.flights,
    recordingSpreadStops: Math.sqrt(mean(noiseVariance)),
    flightSpreadStops: Math.sqrt(mean((posterior) => noiseVariance(posterior) * posterior.groupVariance)),
    effects: model.names.flatMap((name, at) =>
      model.observationsOf[at] === 0 ? [] : effect(model, name, at),
    ),
  };
}

function effect({ prior, posteriors, observationsOf }: SceneModel, name: string, at: number) {
  const mixture = posteriors.map(({ weight, posterior }) => ({
    weight,
    part: estimate(posterior, { at: [at], by: [1] }),
  }));
  return {
    name,
    priorStops: prior.mean[at]!,
    learnedStops: mixtureMean(mixture),
    interval: [mixtureQuantile(mixture, 0.05), mixtureQuantile(mixture, 0.95)] as const,
    observations: observationsOf[at]!,
  };
}

/*
 * What the light of a scene is made of: what the published curves expect, and beside that some terms that are added up.
 * The first are the same for every pilot; behind them each camera and place that was met often has one of its own.
 */

/** Cameras and places with an offset of their own: those with most recordings. More would only cost time. */
const mostPlaces = 60;
const mostCameras = 10;

/**
 * Share of the direct sun in the light, and so of what the direction changes: whole under a clear sky, half where haze
 * softens the shadows, none where there are no shadows (the exposure guide's wording for these skies).
 */
const directShare: Readonly<Record<Sky | 'unknown', number>> = {
  clear: 1,
  haze: 0.5,
  cloud: 0,
  overcast: 0,
  unknown: 0.5,
};

// Variances are in units of the noise variance, whose prior mean is 0.2 (0.45 stop: subjects differ by as much).
const noise = { shape: 2.5, rate: 0.3 };
/**
 * Side light -1, back light -2: validity note of the exposure guides ANSI PH2.7-1973 and 1986. The meter constants of
 * ISO 2720 leave a stop between cameras, and skies of one name differ by about as much; common practice, no source.
 */
const fixedTerms: readonly (readonly [name: string, mean: number, variance: number])[] = [
  ['all of it', 0, 2],
  ['clear sky', 0, 0.8],
  ['haze', 0, 1.2],
  ['cloud', 0, 2],
  ['overcast', 0, 2],
  ['sky not noted', 0, 2],
  ['side light', -1, 1],
  ['back light', -2, 1.5],
  ['each 30 degrees of sun', 0, 0.3],
];
const [sideAt, backAt, heightAt] = [6, 7, 8];
/** Of a camera or a place. */
const ownVariance = 1;

/** Where the terms of cameras and places stand. */
interface OwnTerms {
  readonly cameras: ReadonlyMap<string, number>;
  readonly places: ReadonlyMap<string, number>;
}

function ownTerms(observations: readonly SceneConditions[]): OwnTerms {
  const first = fixedTerms.length;
  const cameras = numbered(
    observations.map(({ camera }) => camera),
    mostCameras,
    first,
  );
  const places = numbered(
    observations.map(({ place }) => place),
    mostPlaces,
    first + cameras.size,
  );
  return { cameras, places };
}

function numbered(
  names: readonly (string | undefined)[],
  most: number,
  first: number,
): ReadonlyMap<string, number> {
  const frequent = mostFrequentFirst(names.filter((name) => name !== undefined)).slice(0, most);
  return new Map(frequent.map(([name], at) => [name, first + at]));
}

function scenePrior({ cameras, places }: OwnTerms): Prior {
  const own = Array.from({ length: cameras.size + places.size });
  return {
    mean: [...fixedTerms.map(([, mean]) => mean), ...own.map(() => 0)],
    variance: [...fixedTerms.map(([, , variance]) => variance), ...own.map(() => ownVariance)],
    ...noise,
  };
}

/** What the published curves expect. Where nobody noted the sky, that of a thin veil stands in. */
function daylight({ elevationDegrees, sky }: SceneConditions): number {
  return daylightEv100({ elevationDegrees, sky: sky ?? 'haze' });
}

function termsOf(conditions: SceneConditions, { cameras, places }: OwnTerms): Terms {
  const { elevationDegrees, sky = 'unknown', direction, camera, place } = conditions;
  const at = [0, 1 + [...skies, 'unknown'].indexOf(sky), heightAt];
  const by = [1, 1, (elevationDegrees - 35) / 30];
  const direct = elevationDegrees > 0 ? directShare[sky] : 0;
  const [side, back] = directionShares(direction);
  if (direct * side > 0) {
    at.push(sideAt);
    by.push(direct * side);
  }
  if (direct * back > 0) {
    at.push(backAt);
    by.push(direct * back);
  }
  for (const own of [cameras.get(camera ?? ''), places.get(place ?? '')]) {
    if (own === undefined) continue;
    at.push(own);
    by.push(1);
  }
  return { at, by };
}

/** Where the direction is not known, any third of the circle is as likely. */
function directionShares(direction: LightDirection | undefined): readonly [side: number, back: number] {
  if (direction === undefined) return [1 / 3, 1 / 3];
  return [direction === 'across' ? 1 : 0, direction === 'toward' ? 1 : 0];
}
