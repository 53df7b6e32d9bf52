import fc from 'fast-check';
import { expect, test, describe } from 'vitest';
import { framesPerSecond } from '../../src/domain/frameRate.ts';
import { rateFromTimes, rateOfHeader, statedRate, frameTiming } from '../../src/reading/streamRate.ts';
import { valueOf } from './readings.ts';

const cinema = { numerator: 24000, denominator: 1001 };
const television = { numerator: 30000, denominator: 1001 };

test('statedRate() believes two numbers that agree', () => {
  expect(statedRate({ average: '24000/1001', base: '24000/1001' })).toEqual(cinema);
});

test('statedRate() makes 2997/100 the rate it stands for', () => {
  expect(statedRate({ average: '2997/100', base: '2997/100' })).toEqual(television);
});

// Reported for a real file of 30 frames/s in a container whose clock ticks in milliseconds.
test('statedRate() does not believe an average of 1000 beside a base of 60', () => {
  expect(statedRate({ average: '1000/1', base: '60/1' })).toBeUndefined();
});

// 30,000 frames/s can be had from a crafted time table, with nothing to warn of it.
test.each(['30000/1', '0/0', '1/10', 'nonsense'])('statedRate() does not believe %s', (rate) => {
  expect(statedRate({ average: rate, base: rate })).toBeUndefined();
});

test('statedRate() does not believe a rate that frames and duration contradict', () => {
  const stated = { average: '60/1', base: '60/1', frameCount: 300, durationSeconds: 10 };
  expect(statedRate(stated)).toBeUndefined();
  expect(statedRate({ ...stated, durationSeconds: 5 })).toEqual({ numerator: 60, denominator: 1 });
});

test('rateFromTimes() finds the rate in times that are rounded to milliseconds', () => {
  const times = Array.from({ length: 300 }, (_, frame) => Math.round((frame * 1001) / 30) / 1000);
  expect(rateFromTimes(times)).toEqual(television);
});

const timesOf = (ticks: readonly number[], perSecond: number): number[] => {
  let now = 0;
  // As the probing program prints them.
  return [0, ...ticks.map((gap) => Number(((now += gap) / perSecond).toFixed(6)))];
};

test('rateFromTimes() takes the commonest gap of a phone that slows down in the dark', () => {
  // 1/30 s mostly, 1/24 s now and then; the mean of both is 29 and nobody shot that.
  const ticks = Array.from({ length: 100 }, (_, frame) => (frame % 6 === 5 ? 24 : 20));
  expect(rateFromTimes(timesOf(ticks, 600), 1 / 600)).toEqual({ numerator: 30, denominator: 1 });
});

test('rateFromTimes() takes gaps that differ by a tick for one, of their mean', () => {
  const ticks = Array.from({ length: 100 }, (_, frame) => (frame % 3 === 2 ? 34 : 33));
  expect(rateFromTimes(timesOf(ticks, 1000), 0.001)).toEqual({ numerator: 30, denominator: 1 });
});

test('rateFromTimes() knows whole milliseconds for rounded ones, whatever the clock of a container that came later', () => {
  // A clip that was wrapped anew: 235 gaps of 33 ms, 137 of 34, one of 166, on a clock of 90 kHz.
  const ticks = Array.from({ length: 373 }, (_, frame) =>
    frame === 200 ? 166 : Math.round(((frame + 1) * 1000) / 29.97) - Math.round((frame * 1000) / 29.97),
  );
  expect(rateFromTimes(timesOf(ticks, 1000), 1 / 90_000)).toEqual(television);
});

test('rateFromTimes() does not take a tick that counts frames for one that rounds times', () => {
  const ticks = Array.from({ length: 100 }, (_, frame) => (frame % 10 === 9 ? 2 : 1));
  expect(rateFromTimes(timesOf(ticks, 25), 1 / 25)).toEqual({ numerator: 25, denominator: 1 });
});

test('rateFromTimes() is not misled by dropped frames, whatever the order', () => {
  const times = Array.from({ length: 200 }, (_, frame) => frame / 25).filter((_, frame) => frame % 9 !== 4);
  fc.assert(
    fc.property(fc.shuffledSubarray(times, { minLength: times.length }), (shuffled) => {
      expect(rateFromTimes(shuffled)).toEqual({ numerator: 25, denominator: 1 });
    }),
    { numRuns: 20 },
  );
});

test('rateFromTimes() gives no rate to a clip that has none', () => {
  const times = Array.from({ length: 60 }, (_, frame) => frame * frame * 0.01);
  expect(rateFromTimes(times)).toBeUndefined();
  expect(rateFromTimes([0, 0.04])).toBeUndefined();
  expect(rateFromTimes([])).toBeUndefined();
});

test('rateFromTimes() never gives an implausible rate', () => {
  fc.assert(
    fc.property(fc.array(fc.double({ min: -1e6, max: 1e6, noNaN: true }), { maxLength: 30 }), (times) => {
      const rate = rateFromTimes(times);
      if (rate !== undefined) expect(framesPerSecond(rate)).toBeLessThanOrEqual(2000);
    }),
  );
});

test('rateOfHeader() takes a usual base rate where nothing contradicts it', () => {
  expect(rateOfHeader({ average: '0/0', base: '24000/1001' })).toEqual(cinema);
  expect(rateOfHeader({ average: '12/1', base: '24000/1001' })).toBeUndefined();
  expect(rateOfHeader({ average: '0/0', base: '57600/1' })).toBeUndefined();
});

const timesFrom = (gaps: readonly number[]): number[] => {
  let now = 0;
  return [0, ...gaps.map((gap) => (now += gap))];
};

describe('the times of the first frames', () => {
  test.each([
    ['even gaps', [1, 1, 1, 1, 1, 1, 1, 1], 'constant', 0],
    ['gaps that jitter by a tenth', [1, 1.1, 0.9, 1, 1.1, 0.9], 'constant', 0],
    ['a frame left out now and then', [1, 1, 1, 2, 1, 1, 3, 1], 'repeating', 2 / 8],
    ['two rates', [1, 1, 1, 1, 1, 2.5, 2.5, 2.5], 'variable', 3 / 8],
    ['gaps that shrink', [1, 1, 1, 1, 0.5, 0.5], 'variable', 2 / 6],
  ])('%s', (_, gaps, timing, fraction) => {
    const reading = frameTiming(timesFrom(gaps.map((gap) => gap / 25)));
    expect(valueOf(reading, 'frameTiming')).toBe(timing);
    expect(valueOf(reading, 'irregularFrameFraction')).toBeCloseTo(fraction, 12);
  });

  test.each([[[]], [[0]], [[0, 0.04, 0.08]], [[1, 1, 1, 1]]])('too few times (%j) say nothing', (some) => {
    expect(frameTiming(some)).toEqual({ sightings: [], refusals: [] });
  });

  test('the order of the times makes no difference', () => {
    const some = timesFrom([1, 1, 2.5, 1, 1, 2.5]);
    expect(frameTiming(some.toReversed())).toEqual(frameTiming(some));
  });
});
