import type { FindingWeight } from '../domain/findingWeight.ts';
import type { KitFilter } from '../domain/filterKit.ts';
import { median, robustSpread } from '../domain/statistics.ts';
import type { FlightLight, JudgedMember } from './finding.ts';

/*
 * What the light says of the filters. The scene behind every recording of one flight is about equally bright, so a
 * recording whose scene seems brighter by just the filter that is said to have been on was flown without it. Clouds
 * change daylight by up to 2.5 stops (clear against overcast at a sun of 60 degrees) and a turn of the camera by one,
 * so only large differences beside steady neighbours count.
 */

/** Seconds. Daylight in the clear changes by a stop in half an hour at most, save near sunset. */
const neighbourSeconds = 900;
const fewestNeighbours = 3;

/**
 * Neighbours must agree to this, as a robust standard deviation, or to a quarter of the jump that is suspected: six stops
 * stand out of light that comes and goes by one.
 */
const steadyNeighboursStops = 0.5;
const steadyShare = 0.25;

/** Less may be a cloud or another direction. */
const leastStops = 1.5;

/** From here on no weather explains it. */
const beyondWeatherStops = 2.5;

/** How near a difference must come to a filter's strength; of a large one, a sixth. */
const matchStops = 0.5;
const matchShare = 1 / 6;

export const filterLimit = {
  at:
    `the scene is at least ${leastStops} stops brighter or darker than at ${fewestNeighbours} or more recordings within ` +
    `${neighbourSeconds / 60} minutes that agree to ${steadyNeighboursStops} stop or a quarter of that, and a filter explains it to ${matchStops} stop or a sixth of it; flagged beyond ${beyondWeatherStops} stops`,
  reason:
    'less may be a cloud or another direction: clouds change daylight by up to 2.5 stops (clear against overcast at a sun ' +
    'of 60°), a turn of the camera by one, and daylight in the clear by a stop in half an hour',
  source:
    "Halfturn's own model of daylight, held against published tables of it; the numbers around it: common practice, no source",
};

type Known = FlightLight & Required<Pick<FlightLight, 'fitted' | 'sceneEv100' | 'atSeconds'>>;

/** What the light around a recording says against the filter that is said to have been on; undefined where nothing. */
export function doubtedFilter({ member, flight }: JudgedMember) {
  if (!isKnown(member)) return undefined;
  const neighbours = flight
    .filter(isKnown)
    .filter((other) => other !== member && Math.abs(other.atSeconds - member.atSeconds) <= neighbourSeconds)
    .map(({ sceneEv100 }) => sceneEv100);
  const usual = median(neighbours);
  if (neighbours.length < fewestNeighbours || usual === undefined) return undefined;
  const { fitted } = member;
  const brighterStops = member.sceneEv100 - usual;
  const steadyStops = Math.max(steadyNeighboursStops, steadyShare * Math.abs(brighterStops));
  if ((robustSpread(neighbours) ?? Infinity) > steadyStops) return undefined;
  if (Math.abs(brighterStops) < leastStops) return undefined;
  const weight: FindingWeight = Math.abs(brighterStops) > beyondWeatherStops ? 'medium' : 'low';
  return {
    weight,
    fitted,
    /** How much brighter the scene would have to have been than at the recordings around it. */
    brighterStops,
    /** The light fits a lens without that filter. */
    isForgotten:
      fitted.stops > 0 &&
      Math.abs(brighterStops - fitted.stops) <= Math.max(matchStops, matchShare * fitted.stops),
  };
}

function isKnown(member: FlightLight): member is Known {
  const { fitted, sceneEv100, atSeconds, steady } = member;
  return fitted !== undefined && sceneEv100 !== undefined && atSeconds !== undefined && steady;
}

export function isInKit(kit: readonly KitFilter[], lightStops: number): boolean {
  return kit
    .filter(({ graduated }) => graduated !== true)
    .some(
      ({ stops, rangeStops: [weakest, strongest] = [stops, stops] }) =>
        lightStops >= weakest - matchStops && lightStops <= strongest + matchStops,
    );
}
