import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { makePilot } from '../../sample-media-generator/pilots/pilot.ts';
import { meteredEv100 } from '../../src/domain/meteredLight.ts';
import { lightOf } from '../../src/logbook/learning.ts';
import {
  probabilityBetween,
  expectedLight,
  learnLight,
  rangeOf,
  type SceneObservation,
} from '../../src/logbook/lightModel.ts';
import { conditionsOf, loggedClip } from './simulatedPilots.ts';

const conditions = { elevationDegrees: 40, sky: 'clear', place: 'Long Shoal' } as const;

/** Flights of three recordings each, so many stops off what is published. */
function flights(...offsets: readonly number[]): readonly SceneObservation[] {
  return offsets.flatMap((offset, flightId) =>
    [-0.2, 0, 0.2].map((each) => ({
      ...conditions,
      flightId,
      ev100: meteredEv100(conditions) + offset + each,
    })),
  );
}

const middle = (observations: readonly SceneObservation[]) =>
  expectedLight(learnLight(observations), conditions).ev100 - meteredEv100(conditions);
const width = (observations: readonly SceneObservation[]) => {
  const [low, high] = rangeOf(expectedLight(learnLight(observations), conditions));
  return high - low;
};

describe('expectedLight()', () => {
  it('is what is published where nothing was learned', () => {
    expect(middle([])).toBe(0);
  });

  it('moves toward what flights showed, the nearer the more they are', () => {
    const moves = [1, 3, 10].map((count) => middle(flights(...Array.from({ length: count }, () => 1))));
    expect(moves.toSorted((a, b) => a - b)).toEqual(moves);
    expect(moves[0]).toBeGreaterThan(0.3);
    expect(moves[2]).toBeGreaterThan(0.85);
    expect(moves[2]).toBeLessThan(1);
  });

  it('counts a flight once, however many recordings it holds', () => {
    const many = Array.from({ length: 200 }, () => flights(2.5)).flat();
    const others = flights(0, 0, 0).map((one) => ({ ...one, flightId: one.flightId + 1 }));
    expect(Math.abs(middle([...many, ...others]))).toBeLessThan(0.1);
  });

  it('is hardly moved or widened by one wrong flight of six', () => {
    const right = [0.1, -0.2, 0.3, 0, -0.1];
    const [clean, spoilt] = [flights(...right, 0), flights(...right, 3)];
    expect(Math.abs(middle(spoilt) - middle(clean))).toBeLessThan(0.2);
    expect(Math.abs(width(spoilt) - width(clean))).toBeLessThan(0.3);
  });

  it('takes no notice of light that there is not on earth', () => {
    const wild = [1e308, -1e308, 25.4, Number.NaN].flatMap((ev100, at) => [
      { ...conditions, flightId: at % 2, ev100 },
      { ...conditions, flightId: 100 + at, ev100 },
    ]);
    expect(middle([...flights(0.5, 0.5), ...wild])).toBe(middle(flights(0.5, 0.5)));
  });

  it('narrows where flights agree, and widens where they do not', () => {
    expect(width(flights(0, 0, 0, 0, 0, 0))).toBeLessThan(width([]));
    expect(width(flights(-2.5, 2.5, -2, 2, -3, 3))).toBeGreaterThan(width([]));
  });

  it('trusts flights of the same place and sky more', () => {
    const far = flights(1, 1, 1).map((one) => ({ ...one, place: 'Elsewhere', sky: 'overcast' as const }));
    const offBy = far.map((one) => ({ ...one, ev100: meteredEv100(one) + 1 }));
    expect(middle(flights(1, 1, 1))).toBeGreaterThan(middle(offBy) + 0.1);
  });
});

describe('learnLight()', () => {
  it('asks about a flight that daylight contradicts, and does not learn from it', () => {
    const { doubted, flights: believed } = learnLight(flights(0, 0.3, -4, 0.1));
    expect(doubted.map(({ flightId }) => flightId)).toEqual([2]);
    expect(believed).toHaveLength(3);
  });

  it('takes light that is always far off for the light of that place', () => {
    expect(learnLight(flights(-3.6, -3.4, -3.8, -3.5, -3.6, -3.7)).doubted).toEqual([]);
  });
});

describe('probabilityBetween()', () => {
  // Student's t, four degrees of freedom: printed tables give 0.741 for 75% and 2.132 for 95%.
  it('meets printed tables', () => {
    const light = { ev100: 10, scaleStops: 1 };
    expect(probabilityBetween(light, -Infinity, 10.741)).toBeCloseTo(0.75, 3);
    expect(probabilityBetween(light, -Infinity, 12.132)).toBeCloseTo(0.95, 3);
    const [low, high] = rangeOf(light);
    expect(probabilityBetween(light, low, high)).toBeCloseTo(0.9, 4);
  });

  it('is a probability, whatever the ends', () => {
    const ends = fc.double({ noNaN: true });
    fc.assert(
      fc.property(ends, ends, (one, other) => {
        const chance = probabilityBetween({ ev100: 12, scaleStops: 0.9 }, one, other);
        expect(chance).toBeGreaterThanOrEqual(0);
        expect(chance).toBeLessThanOrEqual(1);
      }),
    );
  });
});

// Forty pilots by other rules than the prior's; the bench (npm run bench -- logbook) flies a thousand. 40 x 50 clips that
// hang together by pilot leave about 3 points of chance.
describe('the range for nine of ten', () => {
  it.each([false, true])('holds on flights that were not learned from, with mistakes: %s', (mistakes) => {
    let [inside, all] = [0, 0];
    for (let seed = 1; seed <= 40; seed++) {
      const { clips } = makePilot({ seed, flights: 10, mistakes });
      for (let flight = 0; flight < 10; flight++) {
        const model = lightOf(clips.filter((clip) => clip.flight < flight).map(loggedClip));
        for (const clip of clips.filter((each) => each.flight === flight)) {
          const [low, high] = rangeOf(expectedLight(model, conditionsOf(clip)));
          inside += Number(clip.sceneEv >= low && clip.sceneEv <= high);
          all += 1;
        }
      }
    }
    expect(inside / all).toBeGreaterThan(0.86);
    expect(inside / all).toBeLessThan(0.97);
  });
});
