import { expect, test } from 'vitest';
import type { TrackSample } from '../../src/domain/recording.ts';
import { withEvMeaning } from '../../src/reading/textTracks.ts';

type Settings = Omit<TrackSample, 'startSeconds' | 'endSeconds'>;
const samples = (...each: readonly Settings[]): readonly TrackSample[] =>
  each.map((settings, at) => ({ startSeconds: at, endSeconds: at + 1, ...settings }));
const meanings = (...each: readonly Settings[]): readonly (readonly string[])[] =>
  withEvMeaning(samples(...each)).map((sample) =>
    Object.keys(sample).filter((name) => name.endsWith('Stops')),
  );

test('an EV that stands still while the camera moves its shutter was dialled in', () => {
  expect(
    meanings(
      { exposureSeconds: 1 / 500, iso: 100, evAsReadStops: -0.3 },
      { exposureSeconds: 1 / 1000, iso: 100, evAsReadStops: -0.3 },
    ),
  ).toEqual([['exposureBiasStops'], ['exposureBiasStops']]);
});

test('an EV that moves while shutter and ISO stand still is the reading of the meter', () => {
  expect(
    meanings(
      { exposureSeconds: 1 / 60, iso: 100, evAsReadStops: -0.3 },
      { exposureSeconds: 1 / 60, iso: 100, evAsReadStops: 0.7 },
    ),
  ).toEqual([['meteredOffsetStops'], ['meteredOffsetStops']]);
});

test.each([
  ['both move', 1 / 60, 1 / 120, 0, 0.7],
  ['both stand still', 1 / 60, 1 / 60, 0.3, 0.3],
])('where %s it stays as it was read', (_, first, second, before, after) => {
  expect(
    meanings(
      { exposureSeconds: first, iso: 100, evAsReadStops: before },
      { exposureSeconds: second, iso: 100, evAsReadStops: after },
    ),
  ).toEqual([['evAsReadStops'], ['evAsReadStops']]);
});

test('without a recorded exposure a moving EV stays as it was read', () => {
  expect(meanings({ iso: 100, evAsReadStops: 0 }, { iso: 100, evAsReadStops: 1 })).toEqual([
    ['evAsReadStops'],
    ['evAsReadStops'],
  ]);
});

test('an exposure compensation that is named as such stays beside it', () => {
  const named = { exposureBiasStops: 0.3, evAsReadStops: -0.3, iso: 100 };
  expect(
    withEvMeaning(samples({ exposureSeconds: 1 / 500, ...named }, { exposureSeconds: 1 / 800, ...named }))[0],
  ).toEqual(expect.objectContaining({ exposureBiasStops: 0.3 }));
});
