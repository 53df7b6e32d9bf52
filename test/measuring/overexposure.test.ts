import { describe, expect, test } from 'vitest';
import { overexposureOf } from '../../src/measuring/overexposure.ts';
import { brightened, renderedScene } from '../bench/brightenedPictures.ts';

describe('overexposureOf()', () => {
  test('is nothing where no more is lost than accepted', () => {
    expect(overexposureOf(0.01, 0.01)).toBeUndefined();
    expect(overexposureOf(0, 0)).toBeUndefined();
  });

  test('grows with the area that is lost, and its bound is never above its interval', () => {
    const found = [0.011, 0.03, 0.1, 0.3, 0.6, 0.99].map((fraction) => overexposureOf(fraction, 0.01)!);
    found.forEach(({ leastStops, lowStops, highStops }, i) => {
      expect(leastStops).toBeGreaterThan(0);
      expect(leastStops).toBeLessThanOrEqual(lowStops);
      expect(lowStops).toBeLessThan(highStops);
      if (i > 0) expect(highStops).toBeGreaterThanOrEqual(found[i - 1]!.highStops);
    });
  });

  // What is stated is four of five, found on real pictures. Rendered scenes are plainer than real ones, so more of
  // them lie inside; far fewer or none outside would show numbers that have nothing to do with pictures.
  test('holds the truth of rendered scenes about as often as it says', () => {
    const rows = Array.from({ length: 60 }, (_, seed) => renderedScene(seed)).flatMap(brightened);
    const inside = rows.filter(({ clippedFraction, overStops }) => {
      const { lowStops, highStops } = overexposureOf(clippedFraction, 0.01)!;
      return overStops >= lowStops - 0.005 && overStops <= highStops + 0.005;
    });
    expect(rows.length).toBeGreaterThan(500);
    expect(inside.length / rows.length).toBeGreaterThan(0.75);
    expect(inside.length / rows.length).toBeLessThan(0.97);
  });
});
