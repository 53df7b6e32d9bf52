import { expect, test } from 'vitest';
import { extremeSeconds } from '../../src/measuring/closerLook.ts';

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
