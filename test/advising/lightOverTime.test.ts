import { describe, expect, test } from 'vitest';
import { adviseFilter } from '../../src/advising/advise.ts';
import { lightOverTime, lightRange } from '../../src/advising/lightOverTime.ts';
import { commonKit } from '../../src/advising/commonKit.ts';
import { defaultLimits } from '../../src/judging/limits.ts';
import { clip, fps, measured, track } from '../judging/subject.ts';

const pieces = (...stops: readonly number[]) =>
  stops.map((one, at) => ({ startSeconds: at, endSeconds: at + 1, stops: one }));

describe('lightRange()', () => {
  test('counts what lasts two seconds, and half of a shorter clip', () => {
    expect(lightRange(pieces(0, 0, 5, 0, 0, -5, 0))).toEqual({ brightestStops: 0, darkestStops: 0 });
    expect(lightRange(pieces(0, 2, 3, 0, -1, -2))).toEqual({ brightestStops: 2, darkestStops: -1 });
    expect(lightRange(pieces(1, 3))).toEqual({ brightestStops: 3, darkestStops: 1 });
  });

  test('has nothing of nothing', () =>
    expect(lightRange([])).toEqual({ brightestStops: 0, darkestStops: 0 }));
});

describe('lightOverTime()', () => {
  const facts = { exposureSeconds: 1 / 100, iso: 100, fNumber: 2.8, frameRate: fps(25) };

  test('reads brightness from time, ISO, opening and meter: each stop by hand', () => {
    const samples = [
      {},
      { exposureSeconds: 1 / 200 },
      { iso: 200 },
      { fNumber: 5.6 },
      { meteredOffsetStops: 0.5 },
    ].map((sample) => ({
      exposureSeconds: 1 / 100,
      iso: 100,
      fNumber: 2.8,
      meteredOffsetStops: 0,
      ...sample,
    }));
    const stops = lightOverTime(clip(facts, track(samples)), undefined).map((piece) => piece.stops);
    expect(stops.map((one) => Number(one.toFixed(6)))).toEqual([0, 1, -1, 2, 0.5]);
  });

  test('takes the level of the picture where no meter was recorded', () => {
    const levels = measured(
      [0, 0, 1.5, 1.5].map((levelStops) => ({ levelStops })),
      {
        levelStops: { median: 0, low: 0, high: 1.5 },
        samplingStepSeconds: 1,
      },
    );
    expect(lightOverTime(clip(facts), levels).map(({ stops }) => stops)).toEqual([0, 0, 1.5, 1.5]);
    const metered = track([{ meteredOffsetStops: 0 }, { meteredOffsetStops: 0 }]);
    expect(lightOverTime(clip(facts, metered), levels).map(({ stops }) => stops)).toEqual([0, 0]);
  });
});

test('the advice says what the darkest part needs, and would get', () => {
  const samples = [200, 200, 200, 50, 50, 50].map((one) => ({ exposureSeconds: 1 / one }));
  const recording = clip({ exposureSeconds: 1 / 100, iso: 100, frameRate: fps(25) }, track(samples));
  const advice = adviseFilter({
    recording,
    light: lightRange(lightOverTime(recording, undefined)),
    limits: defaultLimits,
    kit: commonKit,
    fitted: { label: 'ND4', stops: 2, source: 'test' },
    offset: { offsetStops: 0, basis: 'metered' },
  });
  // 1/200 s against the target of 1/50 s is two stops, and two were fitted; 1/50 s is on target.
  expect(advice?.neededStops).toBeCloseTo(4, 9);
  expect(advice?.darkestNeededStops).toBeCloseTo(2, 9);
  expect(advice?.pick).toMatchObject({ label: 'ND16' });
  expect(advice?.pick?.darkestLeavesStops).toBeCloseTo(-2, 9);
});
