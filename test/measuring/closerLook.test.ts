import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { FrameMeasure } from '../../src/domain/measurement.ts';
import { extremeSeconds, clippedSpans, edgesToRefine, refineEdges } from '../../src/measuring/closerLook.ts';
import type { Look } from '../../src/measuring/decoding/look.ts';

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
function clipFrom(fromSeconds: number, keySeconds: number) {
  const looks = { keys: 0, read: 0 };
  const at = (atSeconds: number) => ({ atSeconds, clippedFraction: atSeconds >= fromSeconds ? 0.2 : 0 });
  async function* look({ stretches, runs }: Look) {
    for (const stretch of stretches ?? []) {
      const key = Math.ceil(stretch.fromSeconds / keySeconds) * keySeconds;
      if (key >= stretch.toSeconds) continue;
      looks.keys++;
      yield await Promise.resolve(at(key));
    }
    for (const run of runs ?? [])
      for (let frame = Math.ceil(run.startSeconds * 25); frame / 25 < run.endSeconds; frame++) {
        if (run.isEnough?.() === true) break;
        looks.read++;
        yield await Promise.resolve({ ...at(frame / 25), run });
      }
  }
  return { looks, look };
}

test('an edge is found to the frame, by few looks, wherever it lies between two frames', async () => {
  await fc.assert(
    fc.asyncProperty(fc.double({ min: 0.05, max: 9.95, noNaN: true }), async (fromSeconds) => {
      const { looks, look } = clipFrom(fromSeconds, 1);
      const edge = {
        before: { atSeconds: 0, clippedFraction: 0 },
        after: { atSeconds: 10, clippedFraction: 0.2 },
      };
      const [closer] = await refineEdges([edge], flagFraction, look);
      const { before, after } = closer!;
      expect(before.atSeconds).toBeLessThan(fromSeconds);
      expect(after.atSeconds).toBeGreaterThanOrEqual(fromSeconds);
      expect(after.atSeconds - before.atSeconds).toBeLessThanOrEqual(0.0401);
      expect(looks.keys).toBeLessThanOrEqual(6);
      expect(looks.read).toBeLessThanOrEqual(2.1 * 25 + 1);
    }),
  );
});

test('where key frames are far apart, an edge stays as it was seen', async () => {
  const { looks, look } = clipFrom(7, 60);
  const edge = {
    before: { atSeconds: 2, clippedFraction: 0 },
    after: { atSeconds: 12, clippedFraction: 0.2 },
  };
  expect(await refineEdges([edge], flagFraction, look)).toEqual([edge]);
  expect(looks).toEqual({ keys: 0, read: 0 });
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
