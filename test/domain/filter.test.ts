import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  densityFromStops,
  factorFromStops,
  parseFilterName,
  polariserStops,
  stopsFromDensity,
  stopsFromFactor,
} from '../../src/domain/filter.ts';

const stops = fc.double({ min: 0, max: 20, noNaN: true });

test('factor, stops and density lead to each other', () => {
  fc.assert(
    fc.property(stops, (strength) => {
      expect(stopsFromFactor(factorFromStops(strength))).toBeCloseTo(strength, 10);
      expect(stopsFromDensity(densityFromStops(strength))).toBeCloseTo(strength, 10);
    }),
  );
});

test('stacked filters multiply their factors', () => {
  fc.assert(
    fc.property(fc.array(fc.double({ min: 0, max: 5, noNaN: true }), { maxLength: 4 }), (strengths) => {
      const product = strengths.reduce((factor, strength) => factor * factorFromStops(strength), 1);
      const sum = strengths.reduce((stops, strength) => stops + strength, 0);
      expect(stopsFromFactor(product)).toBeCloseTo(sum, 9);
    }),
  );
});

test.each(['nd16', 'ND 16', ' ND16 ', 'Nd16'])('"%s" is ND16', (name) => {
  expect(parseFilterName(name)).toEqual({ label: 'ND16', stops: 4 });
});

test.each(['16X', '16×', '16 x'])('"%s" is 16x', (name) => {
  expect(parseFilterName(name)).toEqual({ label: '16x', stops: 4 });
});

test.each(['NONE', ' none '])('"%s" is no filter', (name) => {
  expect(parseFilterName(name)).toEqual({ label: 'none', stops: 0 });
});

test.each([
  '1.2',
  'ND1.2',
  'ND0.9',
  'ND0',
  '0x',
  '0.5x',
  '16',
  'ND',
  'D',
  '',
  'ND-16',
  'ND1e3',
  'D7',
  'ND9999999999',
  'sunset',
])('"%s" is no filter name', (name) => expect(parseFilterName(name)).toBeUndefined());

test('a density by name is the strength that stopsFromDensity() gives', () => {
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 600 }), (hundredths) => {
      const named = parseFilterName(`D${hundredths / 100}`);
      expect(named?.stops).toBeCloseTo(stopsFromDensity(hundredths / 100), 9);
    }),
  );
});

test('the polariser range holds the published figures', () => {
  // Loss of 1 to 2 stops, a measured 1.356, about 1.5, and filter factors 2.5 and 4 (1.32 and 2.00): practice pages.
  for (const published of [1, 2, 1.356, 1.5, 1.32, 2])
    expect(published >= polariserStops.low && published <= polariserStops.high).toBe(true);
  expect(polariserStops.typical).toBeGreaterThan(polariserStops.low);
  expect(polariserStops.typical).toBeLessThan(polariserStops.high);
});
