import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  frameIndexAt,
  frameRateFromNumber,
  framesPerSecond,
  nominalRate,
  parseFrameRate,
  sameRate,
} from '../../src/domain/frameRate.ts';

const ratio = (numerator: number, denominator: number) => ({ numerator, denominator });

describe('parseFrameRate()', () => {
  test.each([
    ['25/1', ratio(25, 1)],
    ['50/2', ratio(25, 1)],
    [' 30000 / 1001 ', ratio(30000, 1001)],
    ['19001/317', ratio(19001, 317)],
  ])('reads %s', (text, rate) => expect(parseFrameRate(text)).toEqual(rate));

  test.each(['0/0', '0/1', '25/0', '', '25', '-25/1', '25/1/1', 'N/A', '1e3/1'])(
    'leaves "%s" unread',
    (text) => {
      expect(parseFrameRate(text)).toBeUndefined();
    },
  );
});

// BT.709 has 24, 25, 30, 50, 60 and the /1.001 versions of 24, 30, 60.
test.each([
  [23.976, ratio(24000, 1001)],
  [23.98, ratio(24000, 1001)],
  [24, ratio(24, 1)],
  [25, ratio(25, 1)],
  [29.97, ratio(30000, 1001)],
  [30, ratio(30, 1)],
  [47.952, ratio(48000, 1001)],
  [50, ratio(50, 1)],
  [59.94, ratio(60000, 1001)],
  [60, ratio(60, 1)],
  [119.88, ratio(120000, 1001)],
  [239.76, ratio(240000, 1001)],
])('%d stands for a usual rate', (number, rate) => {
  expect(nominalRate(number)).toEqual(rate);
  expect(frameRateFromNumber(number)).toEqual(rate);
});

test('the average of an uneven clip is no usual rate', () => {
  // 29.910988 is the average printed in a published article on variable frame rates.
  expect(nominalRate(29.910988)).toBeUndefined();
  const rate = frameRateFromNumber(29.910988);
  expect(rate && framesPerSecond(rate)).toBeCloseTo(29.910988, 6);
});

test.each([0, -25, Number.NaN, Infinity])('%d is no rate', (number) => {
  expect(frameRateFromNumber(number)).toBeUndefined();
});

test('sameRate() tells 24 from 23.976 and not 23.98 from it', () => {
  expect(sameRate(ratio(24, 1), ratio(24000, 1001))).toBe(false);
  expect(sameRate(ratio(2398, 100), ratio(24000, 1001))).toBe(true);
  expect(sameRate(ratio(50, 2), ratio(25, 1))).toBe(true);
});

const usual = fc.constantFrom(
  ratio(24000, 1001),
  ratio(24, 1),
  ratio(25, 1),
  ratio(30000, 1001),
  ratio(240000, 1001),
);

test('frameIndexAt() finds the frame that starts at a time, and still does within it', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 0, max: 20_000_000 }),
      usual,
      fc.double({ min: 0, max: 0.99, noNaN: true }),
      (frameIndex, frameRate, into) => {
        const seconds = (frameIndex * frameRate.denominator) / frameRate.numerator;
        expect(frameIndexAt({ seconds, frameRate })).toBe(frameIndex);
        expect(frameIndexAt({ seconds: seconds + into / framesPerSecond(frameRate), frameRate })).toBe(
          frameIndex,
        );
      },
    ),
  );
});
