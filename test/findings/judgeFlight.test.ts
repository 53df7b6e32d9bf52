import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { commonKit } from '../../src/domain/filterKit.ts';
import type { FlightLight } from '../../src/findings/finding.ts';
import { judgeFlight } from '../../src/findings/judge.ts';
import { clip, fps } from './subject.ts';

interface Flown {
  readonly ev: number;
  readonly fitted?: number;
  readonly steady?: boolean;
  readonly minute?: number;
  readonly rate?: ReturnType<typeof fps>;
}

function flight(recordings: readonly Flown[]): readonly FlightLight[] {
  return recordings.map(({ ev, fitted, steady = true, minute, rate = fps(25) }, index) => ({
    recording: clip({ frameRate: rate }, { path: `C${index}` }),
    fitted: fitted === undefined ? undefined : { label: `ND${2 ** fitted}`, stops: fitted, source: 'notes' },
    sceneEv100: ev,
    steady,
    atSeconds: 60 * (minute ?? index),
  }));
}

function found(recordings: readonly Flown[]): readonly string[] {
  const lights = flight(recordings);
  const byPath = judgeFlight(lights, commonKit);
  return lights.flatMap(({ recording: { path } }) =>
    (byPath.get(path) ?? []).map(({ kind, weight }) => `${path} ${kind} ${weight}`),
  );
}

const usual: readonly Flown[] = [12.6, 12.7, 12.4, 12.6].map((ev) => ({ ev, fitted: 4 }));

describe('the light of a flight', () => {
  test('that fits the notes says nothing', () =>
    expect(found([...usual, { ev: 12.9, fitted: 0 }])).toEqual([]));

  test('finds a filter that was not on: the scene seems brighter by just its strength', () => {
    expect(found([...usual, { ev: 16.5, fitted: 4 }])).toEqual(['C4 filter-forgotten medium']);
    expect(found([...usual, { ev: 14.6, fitted: 2 }])).toEqual(['C4 filter-forgotten low']);
  });

  // Under passing clouds: a robust spread of 0.9 stop, which six stops stand out of and two do not.
  test('finds a strong filter that was not on though the light comes and goes', () => {
    const cloudy = [12.6, 13.2, 12.0, 13.2, 12.0].map((ev) => ({ ev, fitted: 6 }));
    expect(found([...cloudy, { ev: 18.4, fitted: 6 }])).toEqual(['C5 filter-forgotten medium']);
    expect(found([...cloudy, { ev: 14.8, fitted: 2 }])).toEqual([]);
  });

  test('finds a filter that the notes leave out, and one of another strength', () => {
    expect(found([...usual, { ev: 8.6, fitted: 0 }])).toEqual(['C4 filter-contradicted medium']);
    const [finding] = [
      ...judgeFlight(flight([...usual, { ev: 15.6, fitted: 6 }]), commonKit).values(),
    ].flat();
    expect(finding).toMatchObject({ kind: 'filter-contradicted', filterStops: 6 });
    expect(finding?.kind === 'filter-contradicted' && finding.lightStops).toBeCloseTo(3, 9);
  });

  test.each([
    ['a cloud of a stop', [...usual, { ev: 11.5, fitted: 4 }]],
    ['too few neighbours', [usual[0]!, usual[1]!, { ev: 16.6, fitted: 4 }]],
    [
      'neighbours that differ',
      [12.6, 13.9, 10.9, 15.2].map((ev) => ({ ev, fitted: 4 })).concat({ ev: 17, fitted: 4 }),
    ],
    ['an unknown filter', [...usual, { ev: 16.6 }]],
    ['changing light', [...usual, { ev: 16.6, fitted: 4, steady: false }]],
    ['another time of day', [...usual, { ev: 16.6, fitted: 4, minute: 60 }]],
    ['a brighter scene without a filter', [...usual, { ev: 15.6, fitted: 0 }]],
  ])('does not believe %s', (_, recordings) => expect(found(recordings)).toEqual([]));
});

describe('frame rates of a flight', () => {
  const rates = (...list: readonly ReturnType<typeof fps>[]) => found(list.map((rate) => ({ ev: 12, rate })));

  test('mix where one is no multiple of the other', () => {
    expect(rates(fps(25), fps(25), fps(25), fps(30))).toEqual(['C3 frame-rate-mix low']);
    expect(rates(fps(24), fps(25), fps(24))).toEqual(['C1 frame-rate-mix low']);
  });

  test('are held against a rate that can be cut at: slow motion is not the common one', () => {
    expect(rates(fps(24), fps(30), fps(60), fps(120))).toEqual(['C0 frame-rate-mix low']);
  });

  test('mix though one clip is slower than anything that is cut: all rates are multiples of 1', () => {
    expect(rates(fps(25), fps(25), fps(25), fps(30), fps(1))).toEqual(['C3 frame-rate-mix low']);
    expect(rates(fps(24), fps(30), fps(30), fps(6))).toEqual(['C0 frame-rate-mix low']);
  });

  test('do not mix by multiples, nor by a thousandth, nor between two clips', () => {
    expect(rates(fps(25), fps(50), fps(25), fps(100))).toEqual([]);
    expect(rates(fps(30), fps(30000, 1001), fps(60000, 1001), fps(120))).toEqual([]);
    expect(rates(fps(24), fps(25))).toEqual([]);
  });
});

test('the order of the clips makes no difference', () => {
  const all = flight([...usual, { ev: 16.6, fitted: 4 }, { ev: 8.6, fitted: 0, rate: fps(30) }]);
  const expected = Object.fromEntries(judgeFlight(all, commonKit));
  fc.assert(
    fc.property(fc.shuffledSubarray([...all], { minLength: all.length }), (shuffled) => {
      expect(Object.fromEntries(judgeFlight(shuffled, commonKit))).toEqual(expected);
    }),
    { numRuns: 30 },
  );
});
