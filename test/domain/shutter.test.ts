import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  blurPixels,
  exposureSecondsForAngle,
  isLongerThanFrame,
  shutterAngleDegrees,
  shutterOffsetStops,
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
