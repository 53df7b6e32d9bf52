import { expect, test } from 'vitest';
import type { TrackSample } from '../../src/domain/recording.ts';
import { mergeReadings } from '../../src/reading/mergeReadings.ts';
import { trackReading } from '../../src/reading/timed/trackReading.ts';

const samples = (exposureSeconds: number, count: number): TrackSample[] =>
  Array.from({ length: count }, (_, at) => ({ startSeconds: at, endSeconds: at + 1, exposureSeconds }));
const track = (source: string, exposureSeconds: number, count: number) =>
  trackReading(samples(exposureSeconds, count), [], { source });

test('of two tracks that disagree, the fuller one gives time line and facts, and the other is kept beside it', () => {
  const few = track('a text track', 1 / 400, 3);
  const many = track('frames', 1 / 100, 6);
  for (const readings of [
    [few, many],
    [many, few],
  ]) {
    const merged = mergeReadings(readings);
    expect(merged.track?.source).toBe('frames');
    expect(merged.facts.exposureSeconds).toEqual({
      value: 1 / 100,
      source: 'frames, median of 6 samples',
      others: [{ value: 1 / 400, source: 'a text track, median of 3 samples' }],
    });
  }
});

test('tracks that agree leave no others', () => {
  const merged = mergeReadings([track('a', 1 / 100, 3), track('b', 1 / 100, 6)]);
  expect(merged.facts.exposureSeconds).toEqual({ value: 1 / 100, source: 'b, median of 6 samples' });
});

test('samples that begin before the clip are cut to it', () => {
  const early = [{ startSeconds: -0.5, endSeconds: 0.5, iso: 100 }];
  expect(trackReading(early, [], { source: 'test' }).track?.samples).toEqual([
    { startSeconds: 0, endSeconds: 0.5, iso: 100 },
  ]);
});
