import { expect, test } from 'vitest';
import { reportedTrack, timelineLength } from '../../src/report/buildRecording.ts';

const samples = Array.from({ length: 1800 }, (_, at) => ({
  startSeconds: at,
  endSeconds: at + 1,
  iso: at === 7 ? 6400 : 100,
}));

test('a track is thinned to what a document has room for; its numbers are those of every sample', () => {
  for (const longestTimeline of [600, 200, 20]) {
    const track = reportedTrack({ source: 'test', samples }, longestTimeline);
    expect(track.timeline).toHaveLength(longestTimeline);
    expect(track).toMatchObject({ samples: 1800, iso: { min: 100, median: 100, max: 6400 } });
  }
});

test('few clips keep 600 samples each, and many no more together than thirty-odd of those', () => {
  expect(timelineLength(1)).toBe(600);
  expect(timelineLength(33)).toBe(600);
  for (const clips of [34, 100, 1000, 20_000]) expect(clips * timelineLength(clips)).toBeLessThan(20_001);
  expect(timelineLength(1_000_000)).toBe(1);
});
