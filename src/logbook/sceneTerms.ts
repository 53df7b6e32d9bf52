import { daylightEv100, type Sky, type LightDirection } from '../domain/daylight.ts';
import type { SceneConditions } from '../domain/learned.ts';

import type { Prior, Terms } from './posterior.ts';

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
const skies = ['clear', 'haze', 'cloud', 'overcast', 'unknown'] as const;
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
export interface OwnTerms {
  readonly cameras: ReadonlyMap<string, number>;
  readonly places: ReadonlyMap<string, number>;
}

/** Gives the cameras and places with most observations a term each. */
export function ownTerms(observations: readonly SceneConditions[]): OwnTerms {
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
  const counts = new Map<string, number>();
  for (const name of names) if (name !== undefined) counts.set(name, (counts.get(name) ?? 0) + 1);
  const frequent = [...counts].sort((a, b) => b[1] - a[1]).slice(0, most);
  return new Map(frequent.map(([name], at) => [name, first + at]));
}

export function termNames({ cameras, places }: OwnTerms): readonly string[] {
  return [...fixedTerms.map(([name]) => name), ...cameras.keys(), ...places.keys()];
}

/** What is expected of each term before anything was observed. */
export function scenePrior({ cameras, places }: OwnTerms): Prior {
  const own = Array.from({ length: cameras.size + places.size });
  return {
    mean: [...fixedTerms.map(([, mean]) => mean), ...own.map(() => 0)],
    variance: [...fixedTerms.map(([, , variance]) => variance), ...own.map(() => ownVariance)],
    ...noise,
  };
}

/** What the published curves expect. Where nobody noted the sky, that of a thin veil stands in. */
export function daylight({ elevationDegrees, sky }: SceneConditions): number {
  return daylightEv100({ elevationDegrees, sky: sky ?? 'haze' });
}

/** Which terms count in the light of a scene, beside what the curves expect, and by how much. */
export function termsOf(conditions: SceneConditions, { cameras, places }: OwnTerms): Terms {
  const { elevationDegrees, sky = 'unknown', direction, camera, place } = conditions;
  const at = [0, 1 + skies.indexOf(sky), heightAt];
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
