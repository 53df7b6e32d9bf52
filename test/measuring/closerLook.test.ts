import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { FrameMeasure } from '../../src/domain/measurement.ts';
import { extremeSeconds, clippedSpans, edgesToRefine, refineEdge } from '../../src/measuring/closerLook.ts';

const second = (startSeconds: number) => ({ startSeconds, endSeconds: startSeconds + 1 });

test('the meter says where a clip is brightest and darkest, whatever the settings do', () => {
  const offsets = [0, 0.3, 2.1, 0, -1.3, 0];
  const samples = offsets.map((meteredOffsetStops, at) => ({
    ...second(at),
    iso: 100 * (at + 1),
    meteredOffsetStops,
  }));
  expect(extremeSeconds(samples)).toEqual([2.5, 4.5]);
});

test('without a meter the settings say it: a longer time, a higher ISO and a wider aperture let in more', () => {
  const base = { exposureSeconds: 1 / 100, iso: 100, fNumber: 4 };
  const samples = [base, { ...base, exposureSeconds: 1 / 400 }, base, { ...base, fNumber: 2.8 }, base].map(
    (settings, at) => ({ ...second(at), ...settings }),
  );
  expect(extremeSeconds(samples)).toEqual([1.5, 3.5]);
});

test('an exposure that is steady, or not recorded, has no extremes', () => {
  expect(
    extremeSeconds([0, 0.1, -0.1].map((meteredOffsetStops, at) => ({ ...second(at), meteredOffsetStops }))),
  ).toEqual([]);
  expect(extremeSeconds([second(0), second(1)])).toEqual([]);
  expect(extremeSeconds([])).toEqual([]);
});

function frames(...fractions: number[]): FrameMeasure[] {
  return fractions.map((clippedFraction, atSeconds) => ({
    atSeconds,
    clippedFraction,
    channelClippedFraction: 0,
    largestRegionFraction: 0,
    crushedFraction: 0,
  }));
}

test('a span lies halfway to the frames beside it', () => {
  expect(clippedSpans(frames(0, 0, 0.2, 0.3, 0, 0), 0.01, 6)).toEqual([
    {
      startSeconds: 1.5,
      endSeconds: 3.5,
      maxFraction: 0.3,
      startToleranceSeconds: 0.5,
      endToleranceSeconds: 0.5,
    },
  ]);
});

test('frames at either end carry the span to the end of the clip', () => {
  expect(clippedSpans(frames(0.2, 0, 0.3), 0.01, 2.9)).toEqual([
    {
      startSeconds: 0,
      endSeconds: 0.5,
      maxFraction: 0.2,
      startToleranceSeconds: 0,
      endToleranceSeconds: 0.5,
    },
    {
      startSeconds: 1.5,
      endSeconds: 2.9,
      maxFraction: 0.3,
      startToleranceSeconds: 0.5,
      endToleranceSeconds: 0,
    },
  ]);
});

test('a frame at the limit is not above it', () => {
  expect(clippedSpans(frames(0.01, 0.01), 0.01, 2)).toEqual([]);
});

test('no frames, no spans', () => {
  expect(clippedSpans([], 0.01, 2)).toEqual([]);
});

const flagFraction = 0.01;

/** A clip that clips from a moment on, with a key frame at each multiple of `keySeconds` and 25 frames a second. */
function clipFrom(
  fromSeconds: number,
  keySeconds: number,
): Parameters<typeof refineEdge>[1] & { readonly looks: { jumps: number; read: number } } {
  const at = (atSeconds: number) => ({
    atSeconds,
    clippedFraction: atSeconds >= fromSeconds ? 0.2 : 0,
  });
  const looks = { jumps: 0, read: 0 };
  return {
    flagFraction,
    looks,
    lookAtKey: (place) => {
      looks.jumps++;
      return Promise.resolve(at(Math.floor(place / keySeconds) * keySeconds));
    },
    readOn: async function* (from) {
      for (let frame = 1; ; frame++) {
        looks.read++;
        yield await Promise.resolve(at(from + frame / 25));
      }
    },
  };
}

test('an edge is found to the frame, by few looks, wherever it lies between two frames', async () => {
  await fc.assert(
    fc.asyncProperty(fc.double({ min: 0.05, max: 9.95, noNaN: true }), async (fromSeconds) => {
      const look = clipFrom(fromSeconds, 1);
      const edge = {
        before: { atSeconds: 0, clippedFraction: 0 },
        after: { atSeconds: 10, clippedFraction: 0.2 },
      };
      const { before, after } = await refineEdge(edge, look);
      expect(before.atSeconds).toBeLessThan(fromSeconds);
      expect(after.atSeconds).toBeGreaterThanOrEqual(fromSeconds);
      expect(after.atSeconds - before.atSeconds).toBeLessThanOrEqual(0.0401);
      expect(look.looks.jumps).toBeLessThanOrEqual(3);
      expect(look.looks.read).toBeLessThanOrEqual(2.1 * 25 + 1);
    }),
  );
});

test('where key frames are far apart, an edge stays as it was seen', async () => {
  const look = clipFrom(7, 60);
  const edge = {
    before: { atSeconds: 2, clippedFraction: 0 },
    after: { atSeconds: 12, clippedFraction: 0.2 },
  };
  expect(await refineEdge(edge, look)).toEqual(edge);
  expect(look.looks).toEqual({ jumps: 1, read: 0 });
});

test('the four least exact edges are looked at, and none between frames that are close', () => {
  const frames = [0, 0.4, 2, 5, 9, 14, 20, 27].map((atSeconds, i) => ({
    atSeconds,
    clippedFraction: i % 2 === 0 ? 0 : 0.2,
  }));
  const gaps = edgesToRefine(frames, flagFraction).map(
    ({ before, after }) => after.atSeconds - before.atSeconds,
  );
  expect(gaps).toEqual([7, 6, 5, 4]);
  expect(edgesToRefine(frames.slice(0, 2), flagFraction)).toEqual([]);
});
