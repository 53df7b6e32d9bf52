import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import {
  clearSkyLux,
  daylight,
  naval171Lux,
  overcastLux,
  lightDirection,
  type Sky,
} from '../../src/domain/daylight.ts';
import { ev100FromIlluminance } from '../../src/domain/exposure.ts';

const skies = ['clear', 'haze', 'cloud', 'overcast'] as const;

describe('clearSkyLux()', () => {
  // End of civil twilight 3.4 lx and sunrise 400 lx: lists of illuminances, given there as orders of magnitude; the
  // sun at 90 degrees: 129 klx by the Explanatory Supplement's own summary of its fit. IES Handbook, 8th edition
  // (1993), as quoted by GNU Units: 100 klx on sunlit ground.
  test.each([
    [-6, 3.4, 0.05],
    [-0.8, 400, 80],
    [60, 100_000, 10_000],
  ])('at %d degrees is %d lx', (degrees, lux, tolerance) => {
    expect(Math.abs(clearSkyLux(degrees) - lux)).toBeLessThan(tolerance);
  });

  // The fit's stated error is 0.02 in log10, so two pieces may part by twice that where they meet.
  test.each([20, 5, -0.8, -5, -12])('has no step at %d degrees beyond the error of its fit', (degrees) => {
    const step = Math.log10(clearSkyLux(degrees + 1e-6) / clearSkyLux(degrees - 1e-6));
    expect(Math.abs(step)).toBeLessThan(0.04);
  });

  it('never falls below the night', () => {
    expect(clearSkyLux(-17.9)).toBe(0.002);
    expect(clearSkyLux(-90)).toBe(0.002);
  });
});

describe('naval171Lux()', () => {
  // Certification rows of the circular: 1986-12-18, sun at 90 degrees, 123 786 lx (its sun stands a hair beside the
  // zenith); 1988-08-13, sun on the horizon to the nearest degree, 697 lx.
  it('meets the rows that its authors certify', () => {
    expect(Math.abs(naval171Lux(90).groundLux - 123_786)).toBeLessThan(10);
    const rows = [-0.5, 0.5].map((degrees) => naval171Lux(degrees).groundLux);
    expect(rows[0]).toBeLessThan(697);
    expect(rows[1]).toBeGreaterThan(697);
  });

  it('agrees with the other clear-sky model within 0.22 stop from 30 degrees up', () => {
    for (let degrees = 30; degrees <= 90; degrees += 1) {
      const ratio = naval171Lux(degrees).groundLux / clearSkyLux(degrees);
      expect(Math.abs(Math.log2(ratio))).toBeLessThan(0.22);
    }
  });
});

describe('overcastLux()', () => {
  // CIE overcast sky: zenith luminance 0.123 + 8.6 sin h kcd/m2 (Radiance gensky), E = 7 pi / 9 of it.
  it('is the CIE overcast sky to two parts in a thousand', () => {
    for (const degrees of [2, 10, 30, 60, 90]) {
      const zenith = 123 + 8600 * Math.sin((degrees * Math.PI) / 180);
      const ratio = overcastLux(degrees) / (((7 * Math.PI) / 9) * zenith);
      expect(Math.abs(ratio - 1)).toBeLessThan(0.002);
    }
  });
});

describe('daylight()', () => {
  // Exposure guides ANSI PH2.7-1973 and 1986: 15 in full sun, 12 under heavy overcast, in front light. The guide's
  // whole stops and "typical scene" leave half a stop.
  it('is EV 15 in full sun and EV 12 under heavy overcast', () => {
    const ev = (elevationDegrees: number, sky: Sky) =>
      ev100FromIlluminance({ lux: daylight({ elevationDegrees, sky }).groundLux });
    expect(Math.abs(ev(45, 'clear') - 15)).toBeLessThan(0.5);
    expect(Math.abs(ev(30, 'overcast') - 12)).toBeLessThan(0.5);
  });

  it('falls as the sky closes and as the sun sinks', () => {
    fc.assert(
      fc.property(fc.double({ min: -17, max: 89, noNaN: true }), (elevationDegrees) => {
        const light = skies.map((sky) => daylight({ elevationDegrees, sky }).groundLux);
        expect(light.toSorted((a, b) => b - a)).toEqual(light);
        for (const sky of skies) {
          const { groundLux, directLux } = daylight({ elevationDegrees, sky });
          const higher = daylight({ elevationDegrees: elevationDegrees + 1, sky }).groundLux;
          // The pieces of the published fit part by up to a tenth of a stop where they meet.
          expect(higher).toBeGreaterThan(groundLux * 2 ** -0.1);
          expect(directLux).toBeGreaterThanOrEqual(0);
          expect(directLux).toBeLessThanOrEqual(groundLux);
        }
      }),
    );
  });

  it('turns lux into EV by the incident-light constant 250', () => {
    expect(ev100FromIlluminance({ lux: 2.5 })).toBeCloseTo(0, 12);
  });
});

describe('lightDirection()', () => {
  it('does not change when both turn, and is mirrored left and right', () => {
    const angle = fc.integer({ min: 0, max: 359 });
    fc.assert(
      fc.property(angle, angle, angle, (heading, sun, turn) => {
        const direction = lightDirection({ headingDegrees: heading, sunAzimuthDegrees: sun });
        const turned = { headingDegrees: (heading + turn) % 360, sunAzimuthDegrees: (sun + turn) % 360 };
        expect(lightDirection(turned)).toBe(direction);
        expect(lightDirection({ headingDegrees: sun, sunAzimuthDegrees: heading })).toBe(direction);
      }),
    );
  });

  test.each([
    [0, 'toward'],
    [90, 'across'],
    [180, 'away'],
    [270, 'across'],
  ])('with the sun %d degrees to the right is %s', (sunAzimuthDegrees, direction) => {
    expect(lightDirection({ headingDegrees: 0, sunAzimuthDegrees })).toBe(direction);
  });
});
