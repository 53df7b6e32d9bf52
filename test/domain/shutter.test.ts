import fc from 'fast-check';
import { expect, test, describe } from 'vitest';
import {
  blurPixels,
  exposureSecondsForAngle,
  isLongerThanFrame,
  shutterAngleDegrees,
  shutterOffsetStops,
  flickerSafeExposuresSeconds,
  flickersUnder,
} from '../../src/domain/shutter.ts';

const exposure = fc.double({ min: 1e-5, max: 60, noNaN: true });
const rate = fc.double({ min: 0.01, max: 1000, noNaN: true });
const angle = fc.double({ min: 0.1, max: 360, noNaN: true });

test('shutterAngleDegrees() doubles when the exposure doubles', () => {
  fc.assert(
    fc.property(exposure, rate, (exposureSeconds, framesPerSecond) => {
      const once = shutterAngleDegrees({ exposureSeconds, framesPerSecond });
      const twice = shutterAngleDegrees({ exposureSeconds: 2 * exposureSeconds, framesPerSecond });
      expect(twice / once).toBeCloseTo(2, 12);
    }),
  );
});

test('shutterAngleDegrees() doubles when the frame rate doubles', () => {
  fc.assert(
    fc.property(exposure, rate, (exposureSeconds, framesPerSecond) => {
      const once = shutterAngleDegrees({ exposureSeconds, framesPerSecond });
      const twice = shutterAngleDegrees({ exposureSeconds, framesPerSecond: 2 * framesPerSecond });
      expect(twice / once).toBeCloseTo(2, 12);
    }),
  );
});

test('exposureSecondsForAngle() is the way back from shutterAngleDegrees()', () => {
  fc.assert(
    fc.property(angle, rate, (angleDegrees, framesPerSecond) => {
      const exposureSeconds = exposureSecondsForAngle({ angleDegrees, framesPerSecond });
      expect(shutterAngleDegrees({ exposureSeconds, framesPerSecond }) / angleDegrees).toBeCloseTo(1, 12);
    }),
  );
});

test('shutterOffsetStops() changes sign when angle and target change places', () => {
  fc.assert(
    fc.property(angle, angle, (a, b) => {
      const there = shutterOffsetStops({ angleDegrees: a, targetDegrees: b });
      expect(there + shutterOffsetStops({ angleDegrees: b, targetDegrees: a })).toBeCloseTo(0, 12);
    }),
  );
});

test('blurPixels() never exceeds the motion', () => {
  fc.assert(
    fc.property(angle, fc.double({ min: 0, max: 500, noNaN: true }), (angleDegrees, motionPixelsPerFrame) => {
      expect(blurPixels({ motionPixelsPerFrame, angleDegrees })).toBeLessThanOrEqual(
        motionPixelsPerFrame + 1e-9,
      );
    }),
  );
});

test('isLongerThanFrame() believes a full frame beside a rate that was averaged a little high', () => {
  expect(isLongerThanFrame({ exposureSeconds: 1 / 24, framesPerSecond: 24.05 })).toBe(false);
  expect(isLongerThanFrame({ exposureSeconds: 1 / 24, framesPerSecond: 24.2 })).toBe(true);
});

describe('shutters under lamps on the mains', () => {
  // The rule is published: a stored cinematography post gives 75, 150, 225 and 300 degrees for 25 frames/s under 60 Hz.
  // The other rows are the same arithmetic, 360 x rate x n / (2 x mains).
  test.each([
    [25, 60, [75, 150, 225, 300]],
    [24, 50, [86.4, 172.8, 259.2, 345.6]],
    [24, 60, [72, 144, 216, 288, 360]],
    [25, 50, [90, 180, 270, 360]],
    [30000 / 1001, 50, [107.892, 215.784, 323.676]],
    [30000 / 1001, 60, [89.91, 179.82, 269.73, 359.64]],
    [48, 50, [172.8, 345.6]],
    [60, 50, [216]],
    [100, 50, [360]],
    [120, 50, []],
  ])('%d frames/s under %d Hz: %j degrees', (framesPerSecond, mainsHertz, degrees) => {
    const found = flickerSafeExposuresSeconds({ framesPerSecond, mainsHertz });
    expect(found).toHaveLength(degrees.length);
    found.forEach((exposureSeconds, i) => {
      expect(shutterAngleDegrees({ exposureSeconds, framesPerSecond })).toBeCloseTo(degrees[i]!, 2);
      expect(flickersUnder({ exposureSeconds, framesPerSecond, mainsHertz })).toBe(false);
    });
  });

  // Published list for 60 Hz (a cinematography forum's): these frame rates divide 120, so any shutter is steady.
  test.each([1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 24, 30, 40, 60])(
    '%d frames/s under 60 Hz: any shutter',
    (rate) => {
      expect(flickersUnder({ exposureSeconds: 1 / 777, framesPerSecond: rate, mainsHertz: 60 })).toBe(false);
    },
  );

  test.each([
    [1 / 60, 25, 50, false],
    [1 / 60, 24, 50, true],
    [1 / 50, 25, 60, true],
    [1 / 800, 30, 50, true],
    [1 / 50, 30, 50, false],
  ])(
    '%d s at %d frames/s under %d Hz flickers: %s',
    (exposureSeconds, framesPerSecond, mainsHertz, flickers) => {
      expect(flickersUnder({ exposureSeconds, framesPerSecond, mainsHertz })).toBe(flickers);
    },
  );
});
