import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { meteredEv100 } from '../../src/domain/meteredLight.ts';
import { learnLight } from '../../src/logbook/lightModel.ts';
import { planFilters, cardMoments, sessionMoments } from '../../src/logbook/planning.ts';

const kit = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10].map((stops) => ({ label: `ND${2 ** stops}`, stops }));
const noon = { elevationDegrees: 40, sky: 'clear', direction: 'away', place: 'Long Shoal' } as const;
// Sixty flights that all saw EV 14 here: the light is known to a few tenths.
const steady = learnLight(
  Array.from({ length: 240 }, (_, at) => ({
    ...noon,
    flightId: Math.floor(at / 4),
    ev100: 14 + 0.15 * Math.sin(at * 5.1),
  })),
);
const input: Parameters<typeof planFilters>[0] = {
  model: steady,
  kit,
  moments: [noon],
  wanted: [{ framesPerSecond: 25, targetSeconds: 0.02 }],
  fNumber: 2.8,
  iso: 100,
  windowStops: [-0.7, 0],
  shutterToleranceStops: 1 / 3,
};
const planned = (change: Partial<typeof input>) => planFilters({ ...input, ...change });

describe('planFilters()', () => {
  // f/2.8, 1/50 s, ISO 100 is EV 8.61, so EV 14 leaves 5.39 stops to take: of whole stops, 6 leaves -0.61 and 5 leaves
  // +0.39, which is over.
  it('picks the filter that the light asks for', () => {
    const [exposure] = planned({}).exposures;
    expect(exposure!.pick.label).toBe('ND64');
    expect(exposure!.pick.probability).toBeGreaterThan(0.6);
    expect(exposure!.second!.label).toBe('ND32');
    expect(exposure!.eitherProbability).toBeGreaterThan(exposure!.pick.probability);
    expect(exposure!.eitherProbability).toBeLessThanOrEqual(1);
  });

  it('asks one stop more for half the frame rate, and ten for an exposure of 20 s instead of 1/50 s', () => {
    const wanted = [
      { framesPerSecond: 12.5, targetSeconds: 0.04 },
      { targetSeconds: 0.02 * 2 ** 4, intervalSeconds: 0.64 },
    ];
    const labels = planned({ wanted }).exposures.map(({ pick }) => pick.label);
    expect(labels).toEqual(['ND128', 'ND1024']);
  });

  it('gives probabilities of [0, 1], and never picks what is graduated', () => {
    const graduated = { label: 'half', stops: 5.5, graduated: true };
    fc.assert(
      fc.property(
        fc.integer({ min: -15, max: 90 }),
        fc.constantFrom('clear', 'overcast'),
        (elevationDegrees, sky) => {
          const { exposures } = planned({
            model: learnLight([]),
            kit: [...kit, graduated],
            moments: [{ elevationDegrees, sky: sky as 'clear' }],
          });
          for (const { label, probability } of exposures[0]!.choices) {
            expect(label).not.toBe('half');
            expect(probability).toBeGreaterThanOrEqual(0);
            expect(probability).toBeLessThanOrEqual(1);
          }
          expect(exposures[0]!.choices[0]!.probability).toBe(exposures[0]!.pick.probability);
        },
      ),
      { numRuns: 40 },
    );
  });

  it('never asks for a weaker filter in brighter light', () => {
    const { exposures } = planned({
      model: learnLight([]),
      moments: cardMoments({ sky: 'clear', direction: 'away' }),
    });
    const stops = exposures[0]!.moments.map(
      ({ label }) => kit.find((one) => one.label === label)?.stops ?? 0,
    );
    expect(stops.toSorted((a, b) => a - b)).toEqual(stops);
  });

  it('gives a variable filter the chance of its whole range', () => {
    const variable = { label: 'Vari', stops: 4, rangeStops: [4, 8] as const };
    const [exposure] = planned({ kit: [...kit, variable] }).exposures;
    expect(exposure!.pick.label).toBe('Vari');
    expect(exposure!.pick.probability).toBeGreaterThan(0.95);
    // 5.39 stops to take, and the window's middle is 0.35 below: 5.74, to half a stop.
    expect(exposure!.pick).toMatchObject({ stops: 5.5, isSetting: true });
  });

  const evening = sessionMoments(
    { atMs: Date.UTC(2026, 5, 21, 16), minutes: 300, offsetMinutes: 60, latitude: 50, longitude: 0 },
    { sky: 'clear', direction: 'away' },
  );

  it('says when to swap as the sun sinks', () => {
    expect([evening[0]!.clock, evening.at(-1)!.clock]).toEqual(['17:00', '22:00']);
    expect(evening.at(-1)!.elevationDegrees).toBeLessThan(0);
    const [exposure] = planned({ moments: evening }).exposures;
    expect(exposure!.swaps.length).toBeGreaterThanOrEqual(2);
    expect(exposure!.swaps[0]!.from).toBe(exposure!.pick.label);
    const clocks = exposure!.swaps.map(({ clock }) => clock);
    expect(clocks.toSorted()).toEqual(clocks);
    expect(exposure!.swaps.at(-1)!.to).toBe('none');
  });

  it('says nothing of a swap at the end, wherever that is', () => {
    for (let count = 2; count <= evening.length; count++) {
      const moments = evening.slice(0, count);
      const clocks = planned({ moments }).exposures[0]!.swaps.map(({ clock }) => clock);
      expect(clocks).not.toContain(moments.at(-1)!.clock);
    }
  });

  it('says when to turn a variable filter down, a stop at a time', () => {
    const variable = { label: 'Vari', stops: 4, rangeStops: [1, 8] as const };
    const [exposure] = planned({ kit: [variable], moments: evening }).exposures;
    const turns = exposure!.swaps.filter(({ to }) => to === 'Vari').map(({ settingStops }) => settingStops!);
    const settings = [exposure!.pick.stops, ...turns];
    expect(turns.length).toBeGreaterThanOrEqual(3);
    for (const [at, setting] of turns.entries()) expect(settings[at]! - setting).toBeGreaterThanOrEqual(1);
  });
});

describe('a plan without hope', () => {
  it('says the ISO that would do in the dusk', () => {
    const dark = { ...noon, elevationDegrees: -5 };
    const { darkIso, pick } = planned({ model: learnLight([]), moments: [dark] }).exposures[0]!;
    expect(pick.label).toBe('none');
    // EV 8.61 less the middle of the window is wanted at ISO 100; whole stops of ISO above what is missing.
    expect(darkIso).toBe(100 * 2 ** Math.ceil(8.61 - 0.35 - meteredEv100(dark)));
  });

  // Floodlit buildings are EV 4: 4.26 stops from what is wanted, and five whole ones.
  it('says the ISO for lit buildings at night', () => {
    const night = { ...noon, elevationDegrees: -8 };
    expect(planned({ model: learnLight([]), moments: [night] }).exposures[0]!.darkIso).toBe(3200);
  });

  it('says the strength that is missing in the sun', () => {
    const [exposure] = planned({ kit: [], wanted: [{ targetSeconds: 10 }] }).exposures;
    // Ten seconds at f/2.8 is EV -0.35: 14.35 stops to take, and 0.35 for the middle of the window.
    expect(exposure!.missingStops).toBe(15);
  });
});

it('changes filters only for a gain of fifteen points', () => {
  const moments = [40, 38, 36, 34, 32, 30].map((elevationDegrees, at) => ({
    ...noon,
    elevationDegrees,
    clock: `1${at}:00`,
  }));
  expect(planned({ moments }).exposures[0]!.swaps).toEqual([]);
});

describe('sessionMoments()', () => {
  const session = {
    atMs: Date.UTC(2026, 2, 20, 8),
    minutes: 480,
    offsetMinutes: 0,
    latitude: 45,
    longitude: 0,
  };
  it('lets the sun move past a fixed heading', () => {
    const faces = sessionMoments(session, { headingDegrees: 110 }).map(({ direction }) => direction);
    expect([faces[0], faces.at(-1)]).toEqual(['toward', 'away']);
  });
});
