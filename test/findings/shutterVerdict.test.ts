import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { defaultLimits } from '../../src/domain/limits.ts';
import { judgeShutter } from '../../src/findings/shutterVerdict.ts';
import { judge } from '../../src/findings/judge.ts';
import type { FactValues } from '../../src/domain/recording.ts';
import { clip, fps, judged, measured, still } from './subject.ts';

const limits = defaultLimits;
const verdictOf = (exposureSeconds: number, frameRate = fps(24)) =>
  judgeShutter({ recording: clip({ exposureSeconds, frameRate }), limits })?.verdict;

// log2(angle / 180) against a third of a stop: -0.3219 (144 degrees) and +0.2630 (216) are in, 1 stop is out.
// A tolerance of a third accepts every usual 1/48, 1/50 and 1/60 s at 24 to 30 frames/s.
test.each([
  [1 / 48, fps(24), 'on'],
  [1 / 50, fps(24), 'on'],
  [1 / 60, fps(24), 'on'],
  [1 / 50, fps(24000, 1001), 'on'],
  [1 / 60, fps(25), 'on'],
  [1 / 48, fps(25), 'on'],
  [1 / 50, fps(30), 'on'],
  [1 / 48, fps(30), 'on'],
  [1 / 50, fps(30000, 1001), 'on'],
  [1 / 120, fps(60000, 1001), 'on'],
  [1 / 80, fps(24), 'short'],
  [1 / 100, fps(24), 'short'],
  [1 / 100, fps(25), 'short'],
  [1 / 2000, fps(30), 'short'],
  [1 / 24, fps(24), 'long'],
  [1 / 30, fps(24), 'long'],
  [1 / 60, fps(60), 'long'],
  [1 / 24, fps(25), 'unknown'],
  [1 / 8, fps(24), 'unknown'],
] as const)('%d s at %o is %s', (exposureSeconds, frameRate, verdict) => {
  expect(verdictOf(exposureSeconds, frameRate)).toBe(verdict);
});

test('an offset of exactly the tolerance is on', () => {
  expect(verdictOf((1 / 48) * 2 ** (1 / 3))).toBe('on');
  expect(verdictOf((1 / 48) * 2 ** (-1 / 3))).toBe('on');
});

test('a full frame beside an averaged rate is 360 degrees, never more', () => {
  const recording = clip({ exposureSeconds: 1 / 24, frameRate: fps(2405, 100) });
  expect(judgeShutter({ recording, limits })?.angleDegrees).toBe(360);
});

test('stills have no shutter verdict, clips without exposure or rate have an unknown one', () => {
  const exposureSeconds = 1 / 50;
  expect(judgeShutter({ recording: still({ exposureSeconds, frameRate: fps(24) }), limits })).toBeUndefined();
  const unknown = { verdict: 'unknown', matters: 'unknown' };
  expect(judgeShutter({ recording: clip({ exposureSeconds }), limits })).toEqual(unknown);
  expect(judgeShutter({ recording: clip({ frameRate: fps(24) }), limits })).toEqual(unknown);
});

test('a shutter at the target is on at any target and rate', () => {
  fc.assert(
    fc.property(fc.integer({ min: 20, max: 360 }), fc.integer({ min: 12, max: 240 }), (degrees, rate) => {
      const recording = clip({ exposureSeconds: degrees / 360 / rate, frameRate: fps(rate) });
      const shutter = judgeShutter({ recording, limits: { ...limits, shutterAngleDegrees: degrees } });
      expect(shutter?.verdict).toBe('on');
      expect(shutter?.offsetStops).toBeCloseTo(0, 9);
    }),
  );
});

describe('whether a shutter matters', () => {
  const at = (angleDegrees: number, high?: number, size: { width?: number } = { width: 1920 }) => {
    const recording = clip({ exposureSeconds: angleDegrees / 360 / 24, frameRate: fps(24), ...size });
    const motionPixelsPerFrame = high === undefined ? undefined : { median: 1, high };
    return judgeShutter({ recording, limits, measurement: measured([{}], { motionPixelsPerFrame }) })
      ?.matters;
  };

  test('is unknown without motion, and without width unless the picture stands still', () => {
    expect(at(10)).toBe('unknown');
    expect(at(10, 8, {})).toBe('unknown');
    expect(at(10, 1.9, {})).toBe('no');
    expect(at(10.8, 8)).toBe('yes');
  });

  // The guidance: 7 s across the picture at 24 frames/s with 180 degrees passes. 1920 pixels: 11.43 per frame,
  // 5.71 of them blurred; 3840 pixels: 22.86 and 11.43 (published guidance, pixels derived).
  test.each([
    [180, 11.4, 1920, 'no'],
    [180, 11.5, 1920, 'yes'],
    [180, 22.8, 3840, 'no'],
    [180, 22.9, 3840, 'yes'],
    [90, 7.5, 1920, 'no'],
    [90, 7.7, 1920, 'yes'],
    [5.4, 5.7, 1920, 'no'],
    [5.4, 5.9, 1920, 'yes'],
    [270, 7.5, 1920, 'no'],
    [270, 7.7, 1920, 'yes'],
    [360, 5.8, 1920, 'yes'],
  ] as const)('at %d degrees, %d of %d pixels per frame: %s', (angle, motion, width, matters) => {
    expect(at(angle, motion, { width })).toBe(matters);
  });

  // 1/48 s at 24 frames/s is 180 degrees: of 12 pixels 6 are gap, 6/1920 of the width, and 1/336 passes.
  // 1/2000 s is 360 x 24 / 2000 = 4.32 degrees: of 9 pixels 8.892 are gap.
  test.each([
    [1 / 48, 12, 6 / 1920],
    [1 / 2000, 9, 8.892 / 1920],
  ])('the verdict comes with its numbers: %d s, %d pixels', (exposureSeconds, high, gap) => {
    const recording = clip({ exposureSeconds, frameRate: fps(24), width: 1920 });
    const measurement = measured([{}], { motionPixelsPerFrame: { median: 1, high } });
    const { seen } = judgeShutter({ recording, limits, measurement })!;
    expect(seen!.seenFractionOfWidth).toBeCloseTo(gap, 9);
    expect(seen!.passableFractionOfWidth).toBeCloseTo(1 / 336, 9);
  });

  test('has no numbers where the motion is not known', () => {
    const recording = clip({ exposureSeconds: 1 / 48, frameRate: fps(24), width: 1920 });
    expect(judgeShutter({ recording, limits })).not.toMatchObject({ seen: expect.anything() });
  });

  test('reaches the verdict from the 95th percentile of the motion', () => {
    const recording = clip({ exposureSeconds: 1 / 2000, frameRate: fps(24), width: 1920 });
    const measurement = measured([{}], { motionPixelsPerFrame: { median: 0.4, high: 9 } });
    expect(judgeShutter({ recording, limits, measurement })?.matters).toBe('yes');
  });
});

// 1080/50/I and 25/PsF of Recommendation ITU-R BT.709-6: 25 frames of two fields a second.
describe('pictures in fields', () => {
  const judgedAs = (scan: FactValues['scan'], exposureSeconds: number) => {
    const subject = judged(clip({ exposureSeconds, frameRate: fps(25), scan, width: 1920 }));
    return { ...judgeShutter(subject), kinds: judge(subject).map(({ kind, weight }) => `${kind} ${weight}`) };
  };

  test('of two moments count on the field: 1/50 s is 360 degrees of it', () => {
    expect(judgedAs('interlaced', 1 / 50)).toMatchObject({
      angleDegrees: 360,
      countedOn: 'field',
      verdict: 'long',
    });
    expect(judgedAs('interlaced', 1 / 100)).toMatchObject({ angleDegrees: 180, verdict: 'on', kinds: [] });
  });

  test('of one moment count on the frame: 1/50 s is 180 degrees of it', () => {
    const shutter = judgedAs('progressive-in-fields', 1 / 50);
    expect(shutter).toMatchObject({ angleDegrees: 180, countedOn: 'frame', verdict: 'on', kinds: [] });
  });

  test('that cannot be told say both and flag nothing', () => {
    const shutter = judgedAs('fields', 1 / 50);
    expect(shutter.either).toEqual({ onFrameDegrees: 180, onFieldDegrees: 360 });
    expect(shutter).toMatchObject({ verdict: 'unknown', kinds: ['shutter-field-or-frame low'] });
    expect(judgedAs('fields', 1 / 1000).kinds).toEqual(['shutter-field-or-frame low']);
  });

  test('exposed for longer than a field are of one moment where nothing else tells, and impossible where fields are', () => {
    expect(judgedAs('fields', 1 / 30)).toMatchObject({
      angleDegrees: 300,
      countedOn: 'frame',
      verdict: 'long',
    });
    expect(judgedAs('progressive-in-fields', 1 / 30)).toMatchObject({ angleDegrees: 300 });
    expect(judgedAs('interlaced', 1 / 30)).toMatchObject({
      verdict: 'unknown',
      kinds: ['shutter-impossible medium'],
    });
    expect(judgedAs('fields', 1 / 10).kinds).toEqual(['shutter-impossible medium']);
  });
});
