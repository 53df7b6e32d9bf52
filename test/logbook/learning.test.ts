import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { makePairs } from '../../sample-media-generator/pilots/pairs.ts';
import { mixtureBetween, mixtureMean, mixtureQuantile } from '../../src/logbook/distributions.ts';
import { learn, learnLight } from '../../src/logbook/learning.ts';
import type { LoggedObservation } from '../../src/logbook/queries.ts';
import { learnedScene, learnScene, predictScene } from '../../src/logbook/sceneModel.ts';
import { measuredKit, learnStrengths, strengthSpreadStops } from '../../src/logbook/strengths.ts';
import { conditionsOf, loggedClip, loggedPairs, makePilot } from './simulatedPilots.ts';

const clear = { elevationDegrees: 45, sky: 'clear', direction: 'away' } as const;

describe('predictScene()', () => {
  it('starts from published daylight: EV 15 in full sun, less 1 from the side and less 2 from behind', () => {
    // Exposure guides ANSI PH2.7-1973 and 1986 and their validity note.
    const model = learnScene([]);
    const front = mixtureMean(predictScene(model, clear));
    expect(Math.abs(front - 15)).toBeLessThan(0.3);
    expect(mixtureMean(predictScene(model, { ...clear, direction: 'across' }))).toBeCloseTo(front - 1, 6);
    expect(mixtureMean(predictScene(model, { ...clear, direction: 'toward' }))).toBeCloseTo(front - 2, 6);
  });

  it('is broad without observations, and narrower with them', () => {
    const width = (flights: number) => {
      const pilot = makePilot({ seed: 11, flights: 30 });
      const { model } = learnLight(pilot.clips.filter(({ flight }) => flight < flights).map(loggedClip));
      const scene = predictScene(model, { ...clear, place: 'shore 1', camera: 'simulated' });
      return mixtureQuantile(scene, 0.95) - mixtureQuantile(scene, 0.05);
    };
    const [none, few, many] = [width(0), width(3), width(30)];
    expect(none).toBeGreaterThan(3);
    expect(few).toBeLessThan(none);
    expect(many).toBeLessThan(few);
  });

  it('does not take one afternoon for many', () => {
    const clips = Array.from({ length: 40 }, () => ({ ...clear, ev100: 13, flightId: 1 }));
    const days = clips.map((clip, flightId) => ({ ...clip, flightId }));
    const spread = (observations: typeof clips) => {
      const scene = predictScene(learnScene(observations), clear);
      return mixtureQuantile(scene, 0.95) - mixtureQuantile(scene, 0.05);
    };
    expect(spread(clips)).toBeGreaterThan(1.5 * spread(days));
  });

  // 60 pilots with 10 flights of 5 clips each; 8 later flights held out: 2400 scenes. The goal is 87 to 93%; flights
  // and pilots share deviations, which adds about 1.5 points of chance either way.
  it('holds nine of ten held-out scenes in its 90% interval', () => {
    let [inside, all] = [0, 0];
    for (let seed = 1; seed <= 60; seed++) {
      const pilot = makePilot({ seed: 40 + seed, flights: 18 });
      const { model } = learnLight(pilot.clips.filter(({ flight }) => flight < 10).map(loggedClip));
      for (const clip of pilot.clips.filter(({ flight }) => flight >= 10)) {
        const below = mixtureBetween(predictScene(model, conditionsOf(clip)), -Infinity, clip.sceneEv);
        inside += Number(below > 0.05 && below < 0.95);
        all += 1;
      }
    }
    expect(all).toBe(2400);
    expect(inside / all).toBeGreaterThan(0.87);
    expect(inside / all).toBeLessThan(0.945);
  });
});

describe('learnedScene()', () => {
  it('says what each part rests on, and nothing of what was never seen', () => {
    const observations = [0, 1, 2].map((flightId) => ({
      ...clear,
      ev100: 14,
      flightId,
      place: 'Long Shoal',
    }));
    const { effects, observations: count, flights } = learnedScene(learnScene(observations));
    expect([count, flights]).toEqual([3, 3]);
    expect(effects.map(({ name }) => name)).toEqual([
      'all of it',
      'clear sky',
      'each 30 degrees of sun',
      'Long Shoal',
    ]);
    for (const { learnedStops, interval } of effects) {
      expect(interval[0]).toBeLessThan(learnedStops);
      expect(interval[1]).toBeGreaterThan(learnedStops);
    }
  });

  it('finds side and back light where flights show them', () => {
    const observations = Array.from({ length: 240 }, (_, at) => ({
      flightId: Math.floor(at / 6),
      elevationDegrees: 45,
      sky: 'clear' as const,
      direction: (['away', 'across', 'toward'] as const)[at % 3]!,
      ev100: 14.5 - [0, 0.5, 1.2][at % 3]! + 0.2 * Math.sin(at * 7.3),
    }));
    const { effects } = learnedScene(learnScene(observations));
    const learned = (name: string) => effects.find((effect) => effect.name === name)!.learnedStops;
    expect(Math.abs(learned('side light') + 0.5)).toBeLessThan(0.15);
    expect(Math.abs(learned('back light') + 1.2)).toBeLessThan(0.15);
  });
});

describe('mixtures', () => {
  const part = fc.record({
    location: fc.double({ min: -5, max: 5, noNaN: true }),
    scale: fc.double({ min: 0.1, max: 3, noNaN: true }),
    degreesOfFreedom: fc.double({ min: 2, max: 50, noNaN: true }),
  });
  it('have quantiles that their distribution gives back', () => {
    fc.assert(
      fc.property(part, part, fc.double({ min: 0.01, max: 0.99, noNaN: true }), (a, b, probability) => {
        const mixture = [
          { weight: 0.3, part: a },
          { weight: 0.7, part: b },
        ];
        const value = mixtureQuantile(mixture, probability);
        expect(Math.abs(mixtureBetween(mixture, -Infinity, value) - probability)).toBeLessThan(1e-4);
        expect(mixtureBetween(mixture, value, value + 1)).toBeGreaterThanOrEqual(0);
      }),
    );
  });
});

describe('learnStrengths()', () => {
  // Clips of one scene differ by 0.2 stop: 20 pairs leave a standard error of 0.063, so that 0.15 is 2.4 of them.
  it.each([0.5, -0.5, 0])(
    'finds a filter %d stop off its label to 0.15 stop with 20 pairs, mostly',
    (off) => {
      const misses = Array.from({ length: 60 }, (_, at) => {
        const pairs = makePairs({ seed: 700 + at, pairs: 20, trueStops: 4 + off, clipSpreadStops: 0.2 });
        const [found] = learnStrengths(loggedPairs(pairs));
        expect(found).toMatchObject({ label: 'ND16', labelStops: 4, pairs: 20, flights: 10 });
        return Math.abs(found!.stops - 4 - off);
      });
      expect(misses.filter((miss) => miss <= 0.15).length).toBeGreaterThan(54);
    },
  );

  it('is used in advice only with enough pairs of enough flights, and where the label is refuted', () => {
    const supported = (pairs: number, off: number) =>
      learnStrengths(loggedPairs(makePairs({ seed: 5, pairs, trueStops: 4 + off, clipSpreadStops: 0.1 })))[0]!
        .supported;
    expect(supported(20, 0.5)).toBe(true);
    expect(supported(8, 0.5)).toBe(false);
    expect(supported(20, 0)).toBe(false);
  });

  it('leaves out a pair that only a wrong note explains', () => {
    const logged = loggedPairs(makePairs({ seed: 5, pairs: 12, trueStops: 4, clipSpreadStops: 0.1 }));
    const wrong = logged.map((one, at) => (at === 1 ? { ...one, sensorEv100: one.sensorEv100! + 4 } : one));
    expect(learnStrengths(wrong)[0]).toMatchObject({ pairs: 11, leftOut: 1 });
  });

  it('does not pair what is not the same light', () => {
    const [a, b] = loggedPairs(makePairs({ seed: 5, pairs: 1, trueStops: 4, clipSpreadStops: 0.1 })) as [
      LoggedObservation,
      LoggedObservation,
    ];
    const sun = { sunElevationDegrees: 30, sunAzimuthDegrees: 0 };
    expect(learnStrengths([a, b])).toHaveLength(1);
    for (const other of [
      { ...b, atMs: b.atMs! + 3_600_000 },
      { ...b, flightId: 2 },
      { ...b, camera: 'another' },
      { ...b, fitted: a.fitted! },
      { ...b, ...sun, headingDegrees: 180 },
    ])
      expect(learnStrengths([{ ...a, ...sun, headingDegrees: 0 }, other])).toHaveLength(0);
  });

  it('changes the kit only where it is supported', () => {
    const kit = [
      { label: 'ND16', stops: 4 },
      { label: 'ND64', stops: 6 },
    ];
    const logged = loggedPairs(makePairs({ seed: 5, pairs: 20, trueStops: 4.5, clipSpreadStops: 0.1 }));
    const [nd16, nd64] = measuredKit(kit, learnStrengths(logged));
    expect(Math.abs(nd16!.stops - 4.5)).toBeLessThan(0.15);
    expect(nd16!.measured).toMatchObject({ labelStops: 4, pairs: 20 });
    expect(nd64).toEqual(kit[1]);
    // Learning from a kit that is measured already must not start from the measured strength.
    expect(measuredKit([nd16!], learnStrengths(logged))[0]!.stops).toBe(nd16!.stops);
  });
});

describe('learn()', () => {
  const one: LoggedObservation = {
    flightId: 1,
    kind: 'clip',
    recordedAt: '2026-05-14T10:00:00+02:00',
    fitted: { label: 'ND16', labelStops: 4 },
    shutterVerdict: 'on',
    inWindow: true,
    additionalStops: 0.1,
    pickLabel: 'ND16',
    sunElevationDegrees: 30,
    sunAzimuthDegrees: 90,
    headingDegrees: 90,
    sky: 'clear',
  };
  const observations: readonly LoggedObservation[] = [
    one,
    {
      ...one,
      flightId: 2,
      shutterVerdict: 'short',
      additionalStops: 1.2,
      pickLabel: 'ND32',
      recordedAt: '2026-06-02T10:00:00',
    },
    {
      ...one,
      flightId: 2,
      shutterVerdict: 'short',
      inWindow: false,
      additionalStops: 1.4,
      pickLabel: 'ND32',
      sunElevationDegrees: 50,
      recordedAt: '2026-06-02T10:05:00',
    },
    { flightId: 3, kind: 'still', fitted: { label: 'none', labelStops: 0 } },
    { flightId: 3, kind: 'clip', shutterVerdict: 'on' },
  ];
  const report = learn(observations, '2026-07-01T00:00:00Z');

  it('counts each filter: flights, clips, what was right, the median miss and the better choice', () => {
    expect([report.flights, report.recordings]).toEqual([3, 5]);
    expect(report.filters.map(({ label }) => label)).toEqual(['ND16', 'none']);
    expect(report.filters[0]).toMatchObject({
      flights: 2,
      clips: 3,
      stills: 0,
      shutter: { of: 3, right: 1 },
      exposure: { of: 3, right: 2 },
      missStops: 1.2,
      better: [{ label: 'ND32', recordings: 2 }],
    });
    expect(report.filters[1]).toMatchObject({ stills: 1, shutter: { of: 0, right: 0 } });
    expect(report.filters[1]!.missStops).toBeUndefined();
  });

  it('parts them by light, direction and sky, and over time', () => {
    const [{ groups, trend } = { groups: [], trend: [] }] = report.filters;
    expect(groups.map(({ by, value, recordings }) => [by, value, recordings])).toEqual([
      ['light', 'sun above 45°', 1],
      ['light', 'sun 25° to 45°', 2],
      ['direction', 'back light', 3],
      ['sky', 'clear', 3],
    ]);
    expect(trend.map(({ value, shutter }) => [value, shutter.right])).toEqual([
      ['2026-05', 1],
      ['2026-06', 0],
    ]);
  });

  it('goes by years where there are more than two of them', () => {
    const years = Array.from({ length: 30 }, (_, at) => ({
      ...one,
      recordedAt: `${2024 + Math.floor(at / 12)}-${String((at % 12) + 1).padStart(2, '0')}-01T10:00:00`,
    }));
    const { trend } = learn(years, '2026-07-01T00:00:00Z').filters[0]!;
    expect(trend.map(({ by, value }) => [by, value])).toEqual([
      ['year', '2024'],
      ['year', '2025'],
      ['year', '2026'],
    ]);
  });

  it('says nothing of an empty logbook but that it is empty', () => {
    const empty = learn([], '2026-07-01T00:00:00Z');
    expect(empty).toMatchObject({
      flights: 0,
      filters: [],
      strengths: [],
      scene: { observations: 0, effects: [] },
    });
  });
});

test('strengthSpreadStops() of a label grows with the strength, and no filter has none', () => {
  const spreadOf = (stops: number) => strengthSpreadStops({ label: 'of the label', stops }, []);
  expect(spreadOf(0)).toBe(0);
  expect(spreadOf(10)).toBeGreaterThan(spreadOf(3));
});
