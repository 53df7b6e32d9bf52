import { describe, expect, test } from 'vitest';
import { judge } from '../../src/findings/judge.ts';
import type { Finding, FindingKind } from '../../src/findings/index.ts';
import type { Judged } from '../../src/findings/finding.ts';
import { defaultLimits } from '../../src/domain/limits.ts';
import { turningPoints } from '../../src/findings/exposurePumps.ts';
import { clip, fps, judged, measured, track } from './subject.ts';

function one<K extends FindingKind>(subject: Judged, kind: K): Finding | undefined {
  return judge(subject).find((finding) => finding.kind === kind);
}

describe('turningPoints()', () => {
  const turns = (...stops: number[]): number[] =>
    turningPoints(
      stops.map((value, atSeconds) => ({ stops: value, atSeconds })),
      0.3,
    ).map((turn) => turn.stops);

  test('a ramp has a start and an end, ripples are no turns', () => {
    expect(turns(0, 0.2, 0.4, 0.9)).toEqual([0, 0.9]);
    expect(turns(0, 0.2, 0.1, 0.29, 0)).toEqual([]);
    expect(turns(0, 1, 0.9, 1.4, 0)).toEqual([0, 1.4, 0]);
    expect(turns()).toEqual([]);
  });
});

const moving = (median: number, high: number) => ({
  motion: { widthsPerSecond: { median, high }, followedTiles: 9, tiles: 9 },
});

describe('exposure-pumps', () => {
  const pumps = (...exposures: number[]): Finding | undefined =>
    one(judged(clip({}, track(exposures.map((iso) => ({ iso }))))), 'exposure-pumps');

  test('up and down again by a third of a stop or more', () => {
    expect(pumps(100, 200, 100)).toMatchObject({
      swings: 2,
      largestStops: 1,
      basis: 'recorded',
      weight: 'medium',
    });
    expect(pumps(100, 126, 100, 126)).toMatchObject({
      swings: 3,
      weight: 'low',
      startSeconds: 0,
      endSeconds: 3,
    });
  });

  test('one ramp is none, nor are smaller steps', () => {
    expect(pumps(100, 200, 400)).toBeUndefined();
    expect(pumps(100, 110, 100, 110)).toBeUndefined();
  });

  test('without telemetry the level tells, as long as the view hardly changes', () => {
    const levels = [0, 1, 0, 1].map((levelStops) => ({ levelStops }));
    const seen = (median: number, high = median) =>
      one(judged(clip({}), { measurement: measured(levels, moving(median, high)) }), 'exposure-pumps');
    expect(seen(0.01)).toMatchObject({ swings: 3, basis: 'picture', weight: 'low' });
    // A film of several shots: most of them stand still.
    expect(seen(0.03, 0.52)).toBeUndefined();
    expect(seen(0.5)).toBeUndefined();
    expect(one(judged(clip({}), { measurement: measured(levels) }), 'exposure-pumps')).toBeUndefined();
  });
});

describe('flicker', () => {
  const flickers = (exposureSeconds: number, rate: number, mainsHertz?: number): Finding | undefined =>
    one(
      judged(clip({ exposureSeconds, frameRate: fps(rate) }), {
        measurement: measured([{}], { flickerStops: 0.08 }),
        limits: { ...defaultLimits, ...(mainsHertz === undefined ? {} : { mainsHertz }) },
      }),
      'flicker',
    );

  // Safe shutters: t = n / (2 x mains); at 25 frames/s under 60 Hz 150 degrees are nearest to 180, then 225.
  test('names the mains that explain it and the shutters that would be free of it', () => {
    expect(flickers(1 / 50, 25, 60)).toMatchObject({
      mainsHertz: 60,
      safeExposuresSeconds: [expect.closeTo(1 / 60, 9), expect.closeTo(1 / 40, 9)],
    });
  });

  test('without a setting the mains are told where only one of them can be', () => {
    expect(flickers(1 / 60, 24)).toMatchObject({ mainsHertz: 50 });
    expect(flickers(1 / 50, 25)).toMatchObject({ mainsHertz: 60 });
    expect(flickers(1 / 700, 29)).not.toMatchObject({ mainsHertz: expect.anything() });
  });

  test('a shutter that is safe under the mains blames nothing', () => {
    expect(flickers(1 / 50, 25, 50)).not.toMatchObject({ mainsHertz: expect.anything() });
  });

  // 4.3% of the light from frame to frame, in a picture that crosses half its width in a second.
  test('a picture that moves changes its brightness by that', () => {
    const measurement = measured([{}], { flickerStops: 0.06, ...moving(0.54, 1.5) });
    expect(one(judged(clip({}), { measurement }), 'flicker')).toBeUndefined();
  });

  test('less than can be seen is not said', () => {
    const steady = judged(clip({}), { measurement: measured([{}], { flickerStops: 0.01 }) });
    expect(one(steady, 'flicker')).toBeUndefined();
  });
});

test('range-contradicted only where the file said something and the codes say otherwise', () => {
  const used = (name: 'narrow' | 'full', basis: 'recorded' | 'assumed' | 'codes') => ({
    measurement: measured([{}], { rangeInUse: { name, basis } }),
  });
  expect(one(judged(clip({ range: 'narrow' }), used('full', 'codes')), 'range-contradicted')).toMatchObject({
    recorded: 'narrow',
    used: 'full',
  });
  expect(one(judged(clip({}), used('full', 'codes')), 'range-contradicted')).toBeUndefined();
  expect(
    one(judged(clip({ range: 'full' }), used('full', 'recorded')), 'range-contradicted'),
  ).toBeUndefined();
});
