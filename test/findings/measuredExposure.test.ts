import { describe, expect, test } from 'vitest';
import type { MeasuredShutter } from '../../src/domain/shutter.ts';
import { judge } from '../../src/findings/judge.ts';
import { measuredUncertainty, withMeasuredExposure } from '../../src/findings/exposureOffset.ts';
import { judgeShutter } from '../../src/findings/shutterVerdict.ts';
import { defaultLimits } from '../../src/domain/limits.ts';
import { clip, fps, judged, measured } from './subject.ts';

const blur = (shutter: Partial<MeasuredShutter>) =>
  measured([{}], { shutter: { verdict: 'cannot-tell', pairCount: 6, tileCount: 90, ...shutter } });
const ninety = blur({
  verdict: 'measured',
  angleDegrees: 90,
  interval: { lowDegrees: 80, highDegrees: 100 },
  class: 'short',
});
const unrecorded = clip({ frameRate: fps(25), width: 1920 });
const kinds = (findings: readonly { readonly kind: string }[]) => findings.map(({ kind }) => kind);

describe('withMeasuredExposure()', () => {
  test('gives the exposure time that the angle means at the rate: 90 degrees at 25 frames/s is 1/100 s', () => {
    const { facts } = withMeasuredExposure(unrecorded, ninety);
    expect(facts.exposureSeconds?.value).toBeCloseTo(1 / 100, 12);
    expect(facts.exposureSeconds?.source).toContain('motion blur');
  });

  test('never replaces what was recorded, and invents nothing where the blur is silent', () => {
    const recorded = clip({ frameRate: fps(25), exposureSeconds: 1 / 50 });
    expect(withMeasuredExposure(recorded, ninety)).toBe(recorded);
    expect(withMeasuredExposure(unrecorded, blur({ reason: 'too-noisy' }))).toBe(unrecorded);
    expect(withMeasuredExposure(clip({}), ninety).facts.exposureSeconds).toBeUndefined();
  });

  test('is as uncertain as its interval is wide: log2(100 / 80) = 0.322 stops are 3.92 standard deviations', () => {
    expect(
      measuredUncertainty(withMeasuredExposure(unrecorded, ninety), ninety)?.uncertaintyStops,
    ).toBeCloseTo(0.0821, 4);
    expect(measuredUncertainty(clip({ exposureSeconds: 1 / 50 }), ninety)).toBeUndefined();
  });
});

describe('a shutter that only its blur tells', () => {
  test('is judged by the angle, and the verdict says that it is from the picture', () => {
    const recording = withMeasuredExposure(unrecorded, ninety);
    const shutter = judgeShutter({ recording, limits: defaultLimits, measurement: ninety });
    expect(shutter).toMatchObject({
      verdict: 'short',
      basis: 'picture',
      interval: { lowDegrees: 80, highDegrees: 100 },
    });
    expect(shutter?.angleDegrees).toBeCloseTo(90, 9);
    expect(kinds(judge(judged(recording, { measurement: ninety })))).toEqual(['shutter-short']);
  });

  test('weighs medium at most: 45 degrees are two stops short', () => {
    const short = { verdict: 'measured', angleDegrees: 45, class: 'short' } as const;
    const measurement = blur({ ...short, interval: { lowDegrees: 40, highDegrees: 50 } });
    const recording = withMeasuredExposure(unrecorded, measurement);
    const [finding] = judge(judged(recording, { measurement }));
    expect(finding).toMatchObject({ kind: 'shutter-short', weight: 'medium' });
  });

  test('may be known only to be short', () => {
    const bound = blur({ verdict: 'short', interval: { highDegrees: 60 }, class: 'short' });
    const shutter = judgeShutter({ recording: unrecorded, limits: defaultLimits, measurement: bound });
    expect(shutter).toMatchObject({ verdict: 'short', basis: 'picture' });
    expect(shutter?.angleDegrees).toBeUndefined();
    expect(kinds(judge(judged(unrecorded, { measurement: bound })))).toEqual(['shutter-short-by-blur']);
  });

  // Charts for pans that camera manuals print pass a gap of 5.7 pixels of 1920.
  test.each([
    [6, 'low'],
    [9, 'medium'],
  ])('known only to be short, at %i pixels a frame of 1920, weighs %s', (high, weight) => {
    const bound = blur({ verdict: 'short', interval: { highDegrees: 60 }, class: 'short' });
    const measurement = { ...bound, motionPixelsPerFrame: { median: high, high } };
    expect(judge(judged(unrecorded, { measurement }))).toMatchObject([
      { kind: 'shutter-short-by-blur', weight },
    ]);
  });

  test('has no verdict where its interval lies on both sides of a limit, and keeps its angle', () => {
    const either = blur({
      verdict: 'measured',
      angleDegrees: 140,
      interval: { lowDegrees: 120, highDegrees: 165 },
    });
    const recording = withMeasuredExposure(unrecorded, either);
    const shutter = judgeShutter({ recording, limits: defaultLimits, measurement: either });
    expect(shutter).toMatchObject({ verdict: 'unknown', basis: 'picture' });
    expect(shutter?.angleDegrees).toBeCloseTo(140, 9);
    expect(kinds(judge(judged(recording, { measurement: either })))).toEqual([]);
  });

  test('stays unknown where only a bound beyond the tolerance is known, which is said', () => {
    const bound = blur({ reason: 'interval-too-wide', interval: { highDegrees: 190 } });
    const shutter = judgeShutter({ recording: unrecorded, limits: defaultLimits, measurement: bound });
    expect(shutter).toMatchObject({
      verdict: 'unknown',
      basis: 'picture',
      interval: { highDegrees: 190 },
      matters: 'unknown',
    });
    const [finding] = judge(judged(unrecorded, { measurement: bound }));
    expect(finding).toMatchObject({ kind: 'shutter-unknown', atMostDegrees: 190 });
  });

  test('may stay unknown, with the reason', () => {
    const [finding] = judge(judged(unrecorded, { measurement: blur({ reason: 'too-little-motion' }) }));
    expect(finding).toMatchObject({ kind: 'shutter-unknown', blurReason: 'too-little-motion' });
  });
});

describe('shutter-contradicted', () => {
  const found = (exposureSeconds: number) =>
    kinds(judge(judged(clip({ frameRate: fps(25), exposureSeconds }), { measurement: ninety })));

  test('is said where the recorded angle lies beyond the interval by more than the tolerance', () => {
    expect(found(1 / 50)).toContain('shutter-contradicted');
    expect(found(1 / 400)).toContain('shutter-contradicted');
  });

  test('is said where the recorded angle lies beyond a bound', () => {
    const bound = blur({ verdict: 'short', interval: { highDegrees: 60 }, class: 'short' });
    const of = (exposureSeconds: number) =>
      kinds(judge(judged(clip({ frameRate: fps(25), exposureSeconds }), { measurement: bound })));
    // 1/50 s is 180 degrees, 1/400 s 22.5.
    expect(of(1 / 50)).toContain('shutter-contradicted');
    expect(of(1 / 400)).not.toContain('shutter-contradicted');
  });

  test('is not said where they agree', () => {
    // 1/100 s is 90 degrees; 1/80 s is 112.5, within a third of a stop of the upper end.
    expect(found(1 / 100)).not.toContain('shutter-contradicted');
    expect(found(1 / 80)).not.toContain('shutter-contradicted');
  });
});
