import { describe, expect, test } from 'vitest';
import { adviseFilter } from '../../src/advice/advise.ts';
import { lightOverTime, lightRange } from '../../src/advice/lightOverTime.ts';
import { commonKit } from '../../src/domain/filterKit.ts';
import { defaultLimits } from '../../src/domain/limits.ts';
import type { Measurement } from '../../src/domain/measurement.ts';
import type { Recording, TrackSample } from '../../src/domain/recording.ts';
import { median } from '../../src/domain/statistics.ts';
import { clip, fps, measured, track } from '../findings/subject.ts';

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

  test('is quick with a track of 300,000 marks that all lie within what lasts', { timeout: 5000 }, () => {
    const crowded = Array.from({ length: 300_000 }, (_, at) => ({
      startSeconds: at / 1e5,
      endSeconds: (at + 1) / 1e5,
      stops: at % 7,
    }));
    expect(lightRange(crowded)).toEqual({ brightestStops: 0, darkestStops: 6 });
  });
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
    // Two metered seconds, then two in which only the picture tells.
    expect(lightOverTime(clip(facts, metered), levels).map(({ stops }) => stops)).toEqual([0, 0, 1.5, 1.5]);
  });
});

describe('lightOverTime() where the meter spoke only for a while', () => {
  const facts = { exposureSeconds: 1 / 50, iso: 100, frameRate: fps(25) };
  const settings = { exposureSeconds: 1 / 50, iso: 100 };
  /** A frame a second. */
  const pictures = (...levels: readonly number[]) =>
    measured(
      levels.map((levelStops) => ({ levelStops })),
      { levelStops: { median: median(levels)!, low: 0, high: 0 }, samplingStepSeconds: 1 },
    );
  const recorded = (...samples: readonly TrackSample[]) =>
    clip(facts, { track: { source: 'test', samples } });
  const lightOf = (recording: Recording, measurement: Measurement) =>
    lightOverTime(recording, measurement).map(({ startSeconds, endSeconds, stops }) => [
      startSeconds,
      endSeconds,
      stops,
    ]);

  test('follows the picture from a single reading on', () => {
    const atStart = recorded({ startSeconds: 0, endSeconds: 0.04, meteredOffsetStops: 0.5, ...settings });
    expect(lightOf(atStart, pictures(1, 1, 4, 4))).toEqual([
      [0, 1, 0],
      [1, 2, 0],
      [2, 3, 3],
      [3, 4, 3],
    ]);
    const between = recorded({ startSeconds: 1.5, endSeconds: 1.6, meteredOffsetStops: -1, ...settings });
    expect(lightOf(between, pictures(1, 1, 4, 4)).map(([, , stops]) => stops)).toEqual([-3, -3, 0, 0]);
  });

  test('takes a single reading that holds all through the clip for the typical frame', () => {
    const whole = recorded({ startSeconds: 0, endSeconds: 5, meteredOffsetStops: 0, ...settings });
    expect(lightOf(whole, pictures(0, 1, 2, 3, 4)).map(([, , stops]) => stops)).toEqual([-2, -1, 0, 1, 2]);
  });

  test('takes the picture for the seconds whose samples hold no reading, on the scale of the meter', () => {
    const readings = [{ meteredOffsetStops: 1 }, {}, { meteredOffsetStops: 2 }, {}];
    const samples = readings.map((reading, at) => ({
      startSeconds: at,
      endSeconds: at + 1,
      ...settings,
      ...reading,
    }));
    // The usual reading is 1.5; the picture stands 1 stop higher than the meter: its usual level is 2.5.
    expect(lightOf(recorded(...samples), pictures(2, 4, 3, 2.5)).map(([, , stops]) => stops)).toEqual([
      -0.5, 1.5, 0.5, 0,
    ]);
  });

  const second = (at: number, more: Partial<TrackSample> = {}) => ({
    startSeconds: at,
    endSeconds: at + 1,
    meteredOffsetStops: 0,
    ...settings,
    ...more,
  });

  test('fills what was left unrecorded before, between and after, each place by hand', () => {
    const samples = [second(2), second(3), { ...second(6.5), endSeconds: 7 }];
    expect(lightOf(recorded(...samples), pictures(1, 1, 0, 0, 2, 2, 2, 3, 3))).toEqual([
      [0, 1, 1],
      [1, 2, 1],
      [2, 3, 0],
      [3, 4, 0],
      [4, 5, 2],
      [5, 6, 2],
      [6, 6.5, 2],
      [6.5, 7, 0],
      [7, 8, 3],
      [8, 9, 3],
    ]);
  });

  test('leaves out what lies unrecorded for less than light lasts', () => {
    const samples = [second(0), second(1), second(3), second(4)];
    expect(lightOf(recorded(...samples), pictures(0, 0, 9, 0, 0)).map(([start]) => start)).toEqual([
      0, 1, 3, 4,
    ]);
  });

  test('leaves out what lies unrecorded where the settings moved elsewhere: they may have moved there too', () => {
    const moved = [second(0), second(1, { exposureSeconds: 1 / 100 })];
    expect(lightOf(recorded(...moved), pictures(0, 0, 2, 2, 2)).map(([start]) => start)).toEqual([0, 1]);
  });

  test('advises for the brightest part that lasts though the meter fell silent before it', () => {
    const recording = recorded(second(0), second(1));
    const advice = adviseFilter({
      recording,
      light: lightRange(lightOverTime(recording, pictures(0, 0, 0, 3, 3, 3))),
      limits: defaultLimits,
      kit: commonKit,
      fitted: { label: 'none', stops: 0, source: 'test' },
      offset: { offsetStops: 0, basis: 'metered' },
    });
    // 1/50 s at 25 fps is on target and the meter read 0 at first; then the scene was three stops brighter.
    expect(advice?.neededStops).toBeCloseTo(3, 9);
    expect(advice?.pick).toMatchObject({ label: 'ND8' });
    expect(advice?.lightSpanStops).toBeCloseTo(3, 9);
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
