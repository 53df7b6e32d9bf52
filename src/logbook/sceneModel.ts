import type { LearnedEffect, LearnedScene, SceneConditions } from '../domain/learned.ts';
import { mixtureMean, mixtureQuantile, type Mixture } from './distributions.ts';
import {
  estimate,
  posteriorOf,
  predictive,
  sumsOf,
  type Observation,
  type Posterior,
  type Prior,
} from './posterior.ts';
import { daylight, ownTerms, scenePrior, termNames, termsOf, type OwnTerms } from './sceneTerms.ts';

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
    names: termNames(own),
    ...own,
    posteriors: byEvidence(groupVariances.map((groupVariance) => posteriorOf(prior, sums, groupVariance))),
    observationsOf: observationsOfTerms(flights.flat(), prior.mean.length),
    observations: observations.length,
    flights: flights.length,
  };
}

/** What each flight says beside the published curves. */
function byFlight(
  observations: readonly SceneObservation[],
  own: OwnTerms,
): readonly (readonly Observation[])[] {
  const flights = new Map<number, Observation[]>();
  for (const observation of observations) {
    const flight = flights.get(observation.flightId) ?? [];
    if (flight.length === 0) flights.set(observation.flightId, flight);
    flight.push({ ...termsOf(observation, own), y: observation.ev100 - daylight(observation) });
  }
  return [...flights.values()];
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

/** What was learned, part by part. */
export function learnedScene(model: SceneModel): LearnedScene {
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

function effect({ prior, posteriors, observationsOf }: SceneModel, name: string, at: number): LearnedEffect {
  const mixture = posteriors.map(({ weight, posterior }) => ({
    weight,
    part: estimate(posterior, { at: [at], by: [1] }),
  }));
  return {
    name,
    priorStops: prior.mean[at]!,
    learnedStops: mixtureMean(mixture),
    interval: [mixtureQuantile(mixture, 0.05), mixtureQuantile(mixture, 0.95)],
    observations: observationsOf[at]!,
  };
}
