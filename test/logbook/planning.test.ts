import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { learnScene } from '../../src/logbook/sceneModel.ts';
import { planFilters, cardMoments, sessionMoments } from '../../src/logbook/planning.ts';

const kit = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10].map((stops) => ({ label: `ND${2 ** stops}`, stops }));
// Sixty flights that all saw EV 14 in front light at 40 degrees: the light is known to a few tenths.
const steady = learnScene(
  Array.from({ length: 240 }, (_, at) => ({
    flightId: Math.floor(at / 4),
    ev100: 14 + 0.15 * Math.sin(at * 5.1),
    elevationDegrees: 40,
    sky: 'clear' as const,
    direction: 'away' as const,
  })),
);
const input: Parameters<typeof planFilters>[0] = {
  model: steady,
  strengths: [],
  kit,
  moments: [{ elevationDegrees: 40, sky: 'clear', direction: 'away' }],
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
            model: learnScene([]),
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
      model: learnScene([]),
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
  });

  it('says when to swap as the sun sinks', () => {
    const moments = sessionMoments(
      {
        atMs: Date.UTC(2026, 5, 21, 16),
        minutes: 300,
        offsetMinutes: 60,
        latitude: 50,
        longitude: 0,
      },
      { sky: 'clear', direction: 'away' },
    );
    expect([moments[0]!.clock, moments.at(-1)!.clock]).toEqual(['17:00', '22:00']);
    expect(moments.at(-1)!.elevationDegrees).toBeLessThan(0);
    const [exposure] = planned({ moments }).exposures;
    expect(exposure!.swaps.length).toBeGreaterThanOrEqual(3);
    expect(exposure!.swaps[0]!.from).toBe(exposure!.pick.label);
    const clocks = exposure!.swaps.map(({ clock }) => clock);
    expect(clocks.toSorted()).toEqual(clocks);
    expect(exposure!.swaps.at(-1)!.to).toBe('none');
  });
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
