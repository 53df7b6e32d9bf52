import { expect, test } from 'vitest';
import { isFilm } from '../../src/measuring/measure.ts';
import { factsOf } from './encodeClip.ts';

// A real time-lapse of 10 frames/s: people jump from frame to frame, and a "short shutter" was told of it.
test('a clip of 10 frames/s is no film whose blur tells a shutter, one of 15 is', () => {
  const at = (numerator: number) => isFilm(factsOf({ frameRate: { numerator, denominator: 1 } }));
  expect([10, 15, 24].map(at)).toEqual([false, true, true]);
  expect(isFilm(factsOf({}))).toBe(true);
});
