import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { clipTime, markFrames, marksOf, usableText } from '../../src/report/marks.ts';
import { clippedOnly, exampleClip, fact } from './exampleClip.ts';
import { exampleDocument } from './exampleDocument.ts';

const { settings } = exampleDocument;
const spansOf = (recording: Parameters<typeof marksOf>[0], kind: string) =>
  marksOf(recording, settings)
    .filter((mark) => mark.kind === kind)
    .map(({ startSeconds, endSeconds }) => [startSeconds, endSeconds]);

describe('marksOf()', () => {
  const clipped = clippedOnly({ durationSeconds: fact(20) }, [
    { startSeconds: 4, endSeconds: 6 },
    { startSeconds: 6.4, endSeconds: 9 },
  ]);

  test('what is usable is what the faults leave, less what is too short to be cut with', () => {
    expect(spansOf(clipped, 'clipped')).toEqual([
      [4, 6],
      [6.4, 9],
    ]);
    expect(spansOf(clipped, 'usable')).toEqual([
      [0, 4],
      [9, 20],
    ]);
    expect(usableText(clipped, marksOf(clipped, settings))).toBe(
      'Without a fault that shows: 0 s to 4 s, 9 s to 20 s.',
    );
  });

  test('a short shutter that shows is marked where telemetry says it was short', () => {
    const clip = exampleClip();
    const timeline = [
      { startSeconds: 0, endSeconds: 40, exposureSeconds: 1 / 50 },
      { startSeconds: 40, endSeconds: 90, exposureSeconds: 1 / 800 },
      { startSeconds: 90, endSeconds: 125.2, exposureSeconds: 1 / 50 },
    ];
    expect(spansOf({ ...clip, track: { ...clip.track!, timeline } }, 'stutter')).toEqual([[40, 90]]);
  });

  test('a short shutter that nobody would see is no fault', () => {
    const clip = exampleClip();
    expect(spansOf({ ...clip, shutter: { ...clip.shutter!, matters: 'no' } }, 'stutter')).toEqual([]);
  });

  test('nothing is called usable where no picture was measured, and a still has no stretches', () => {
    const { picture: _, ...unmeasured } = clipped;
    expect(marksOf(unmeasured, settings)).toEqual([]);
    expect(marksOf({ ...clipped, kind: 'still' }, settings)).toEqual([]);
  });

  test('a fault is as wide as its tolerance allows, in whole frames, and what is usable is the narrower for it', () => {
    const spans = [
      { startSeconds: 4.03, endSeconds: 6.02, startToleranceSeconds: 0.5, endToleranceSeconds: 0.25 },
    ];
    const clip = clippedOnly({ framesPerSecond: fact(25), durationSeconds: fact(20) }, spans);
    // 3.53 s lies in frame 88, which begins at 3.52 s; 6.27 s in frame 156, which ends at 6.28 s.
    expect(spansOf(clip, 'clipped')).toEqual([[3.52, 6.28]]);
    expect(spansOf(clip, 'usable')).toEqual([
      [0, 3.52],
      [6.28, 20],
    ]);
  });

  test('the last frame belongs to the fault that reaches it, and to what is usable', () => {
    // Containers round: 250 frames of 25 may be said to last 9.999 s, and the last sample of a track to end before.
    const facts = { framesPerSecond: fact(25), durationSeconds: fact(9.999) };
    const clip = clippedOnly(facts, [{ startSeconds: 4, endSeconds: 9.97 }]);
    const frames = (recording: typeof clip) =>
      marksOf(recording, settings).map((mark) => markFrames(mark, clipTime(recording)!));
    expect(frames(clip)).toEqual([
      { firstFrame: 0, frameCount: 100 },
      { firstFrame: 100, frameCount: 150 },
    ]);
    expect(frames(clippedOnly(facts, []))).toEqual([{ firstFrame: 0, frameCount: 250 }]);
  });

  test('marks are in the order of time', () => {
    const starts = marksOf(clipped, settings).map(({ startSeconds }) => startSeconds);
    expect(starts).toEqual([0, 4, 6.4, 9]);
  });

  test('usable and faulty stretches never overlap, and all lie in the clip', () => {
    const place = fc.double({ min: 0, max: 100, noNaN: true });
    fc.assert(
      fc.property(fc.array(fc.tuple(place, place)), (pairs) => {
        const spans = pairs.map(([a, b]) => ({ startSeconds: Math.min(a, b), endSeconds: Math.max(a, b) }));
        const marks = marksOf(clippedOnly({ durationSeconds: fact(80) }, spans), settings);
        const usable = marks.filter(({ kind }) => kind === 'usable');
        const faults = marks.filter(({ kind }) => kind !== 'usable');
        for (const { startSeconds, endSeconds } of marks) {
          expect(startSeconds).toBeLessThan(endSeconds);
          expect(endSeconds).toBeLessThanOrEqual(80);
        }
        for (const good of usable)
          for (const bad of faults)
            expect(good.endSeconds <= bad.startSeconds || bad.endSeconds <= good.startSeconds).toBe(true);
      }),
    );
  });
});
