import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { skies } from '../../src/domain/daylight.ts';
import { meteredEv100 } from '../../src/domain/meteredLight.ts';

describe('meteredEv100()', () => {
  // Exposure guides ANSI PH2.7-1973 and 1986 for outdoor scenes: 15 in full sun in front light, 12 under heavy overcast;
  // skyline at sunset 12. Scenes of woods and water are darker than the guide's "typical" ones by up to a stop.
  test.each([
    [
      'full sun in front light',
      { elevationDegrees: 45, sky: 'clear', direction: 'away', pitchDegrees: -5 },
      14.5,
      1,
    ],
    ['heavy overcast', { elevationDegrees: 35, sky: 'overcast', pitchDegrees: -15 }, 12, 1],
    ['skyline at sunset', { elevationDegrees: 1, sky: 'clear', direction: 'toward', pitchDegrees: 0 }, 12, 1],
  ] as const)('meets the guide for %s', (_, conditions, ev100, tolerance) => {
    expect(Math.abs(meteredEv100(conditions) - ev100)).toBeLessThan(tolerance);
  });

  it('sees low sun on what stands upright, and less of it straight down', () => {
    const low = { elevationDegrees: 3, sky: 'clear' } as const;
    expect(meteredEv100({ ...low, pitchDegrees: -5 })).toBeGreaterThan(
      meteredEv100({ ...low, pitchDegrees: -90 }) + 1,
    );
  });

  it('is a finite number that grows with the sun, whatever is known', () => {
    const any = fc.record({
      elevationDegrees: fc.double({ min: -90, max: 88, noNaN: true }),
      sky: fc.constantFrom(undefined, ...skies),
      pitchDegrees: fc.option(fc.double({ min: -90, max: 90, noNaN: true }), { nil: undefined }),
      direction: fc.constantFrom(undefined, 'away' as const, 'across' as const),
    });
    fc.assert(
      fc.property(any, (conditions) => {
        const here = meteredEv100(conditions);
        expect(Number.isFinite(here)).toBe(true);
        // Upright things get less of a high sun, and pieces of the published fit part by a tenth of a stop.
        const higher = { ...conditions, elevationDegrees: conditions.elevationDegrees + 2 };
        expect(meteredEv100(higher)).toBeGreaterThan(here - 0.15);
      }),
    );
  });
});
