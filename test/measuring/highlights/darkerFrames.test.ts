import { describe, expect, test } from 'vitest';
import type { FrameMeasure } from '../../../src/domain/measurement.ts';
import { overexposureOf } from '../../../src/domain/overexposure.ts';
import { overexposureIn } from '../../../src/measuring/highlights/darkerFrames.ts';

const frame = (clippedFraction: number, more: Partial<FrameMeasure> = {}): FrameMeasure => ({
  atSeconds: 0,
  clippedFraction,
  channelClippedFraction: clippedFraction,
  largestRegionFraction: clippedFraction,
  clippedShape: 'area',
  crushedFraction: 0,
  ...more,
});
/** One view, with so many stops less light on the sensor, as a camera curve shows them in the middle: a third more. */
const darker = (atSeconds: number, stops: number, clippedFraction: number): FrameMeasure =>
  frame(clippedFraction, {
    atSeconds,
    lightQuantilesStops: { p5: -2 - 1.33 * stops, p50: -1.33 * stops, p95: 2 - stops },
  });
const accepted = { acceptedFraction: 0.01 };

test('goes by the frame that loses most, and not by one that holds the sun or is no scene', () => {
  const sun = frame(0.2, { clippedShape: 'disc' });
  const title = frame(0.3, { noScene: 'drawing' });
  expect(overexposureIn([frame(0.02), frame(0.05), sun, title], accepted)).toEqual(
    overexposureOf(0.05, 0.01),
  );
  expect(overexposureIn([sun, title], accepted)).toBeUndefined();
});

describe('frames of the same view that were taken darker', () => {
  test('say how far over the brightest was', () => {
    const over = overexposureIn([darker(0, 0, 0.3), darker(1, 1, 0.06), darker(2, 2, 0.008)], accepted)!;
    expect(over.basis).toBe('darker-frames');
    // Between one stop and two, of which the picture shows 1.33 each; eight of ten cameras show 1 to 1.65.
    expect(over.lowStops).toBeGreaterThanOrEqual(1.33 / 1.65);
    expect(over.middleStops).toBeGreaterThan(1.5);
    expect(over.middleStops).toBeLessThan(2);
    expect(over.highStops).toBeCloseTo(2.66, 6);
  });

  test('say it to the step of the settings where those were recorded along', () => {
    const samples = [0, 1, 2].map((at) => ({
      startSeconds: at,
      endSeconds: at + 1,
      exposureSeconds: 1 / (100 * 2 ** at),
      iso: 100,
    }));
    const frames = [darker(0, 0, 0.3), darker(1, 1, 0.06), darker(2, 2, 0.008)];
    const over = overexposureIn(frames, { ...accepted, samples })!;
    expect(over.highStops).toBe(2);
    expect(over.lowStops).toBeGreaterThanOrEqual(1);
    // The share falls from 6% to 0.8%; by its logarithm 1% is passed after 0.889 of the way.
    expect(over.middleStops).toBeCloseTo(1.889, 3);
  });

  test('say nothing where another view is dark, none of them holds, or the settings did not move', () => {
    const experience = overexposureOf(0.3, 0.01);
    const otherView = frame(0, { atSeconds: 2, lightQuantilesStops: { p5: -2, p50: -2.66, p95: 1 } });
    expect(overexposureIn([darker(0, 0, 0.3), otherView], accepted)).toEqual(experience);
    expect(overexposureIn([darker(0, 0, 0.3), darker(1, 1, 0.06)], accepted)).toEqual(experience);
    const samples = [{ startSeconds: 0, endSeconds: 9, exposureSeconds: 1 / 100, iso: 100 }];
    const cloud = [darker(0, 0, 0.3), darker(2, 2, 0.008)];
    expect(overexposureIn(cloud, { ...accepted, samples })).toEqual(experience);
  });
});
