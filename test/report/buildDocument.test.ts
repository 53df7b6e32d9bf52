import { describe, expect, test } from 'vitest';
import { adviseSeries } from '../../src/advice/series.ts';
import { commonKit } from '../../src/domain/filterKit.ts';
import { defaultLimits } from '../../src/domain/limits.ts';
import type { StillSequence } from '../../src/domain/sequence.ts';
import { reportedSequence, reportedTrack, timelineLength } from '../../src/report/buildDocument.ts';
import { sequenceSummary } from '../../src/report/sequenceWording.ts';
import { still } from '../findings/subject.ts';

function textOf(sequence: Parameters<typeof sequenceSummary>[0]): string {
  const { heading, entries } = sequenceSummary(sequence, { kit: commonKit, kitAssumed: true });
  return [heading, ...entries.map(({ text }) => text)].join(' ');
}

// Worked by hand from frames / rate: 60 min at 5 s are 720 frames, 60 min at 2 s 1800, 30 min at 3 s 600.
test.each([
  [720, 24, 30],
  [1800, 30, 60],
  [600, 25, 24],
  [720, 30, 24],
])('a series of %d frames plays at %d fps in %d s', (frames, rate, seconds) => {
  const members = Array.from({ length: frames }, () => still({ exposureSeconds: 0.5 }));
  const sequence: StillSequence = {
    kind: 'interval',
    members,
    intervalSeconds: 5,
    missingBefore: [],
    sign: 'notes',
  };
  const { playback } = reportedSequence({ sequence, findings: [], windowStops: [-0.7, 0] });
  expect(playback).toContainEqual({ framesPerSecond: rate, seconds });
});

describe('an interval series of half a second every five', () => {
  const members = Array.from({ length: 6 }, (_, at) => ({
    ...still({ exposureSeconds: 0.5 }),
    path: `S${at}.JPG`,
  }));
  const sequence: StillSequence = {
    kind: 'interval',
    members,
    intervalSeconds: 5,
    missingBefore: [0, 0, 1, 0, 0, 0],
    sign: 'long-exposures',
  };
  const limits = { ...defaultLimits, longestExposureSeconds: 2 };
  const advice = adviseSeries({
    exposureSeconds: 0.5,
    intervalSeconds: 5,
    targetSeconds: 2.5,
    fitted: { label: 'ND64', stops: 6, source: 'notes' },
    kit: commonKit,
    limits,
  });
  const reported = reportedSequence({
    sequence,
    findings: [],
    windowStops: limits.windowStops,
    exposureSeconds: 0.5,
    targetSeconds: 2.5,
    advice,
  });

  test('is reported with its angle (360 x 0.5 / 5) and what is missing', () => {
    expect(reported).toMatchObject({
      kind: 'interval',
      angleDegrees: 36,
      missingFrames: 1,
      targetSeconds: 2.5,
    });
  });

  test('is told what to carry, what limits it and what else would do', () => {
    expect(reported.filter).toMatchObject({ neededStops: 8, pick: { label: 'ND256', leavesStops: 0 } });
    const text = textOf(reported);
    for (const part of ['ND256', 'for 2 s at most', '2 frames of 2 s', '0.3 s at 24 fps', '1 missing'])
      expect(text).toContain(part);
    expect(text).not.toMatch(/undefined|NaN/);
  });
});

test('a bracket is reported with its steps and its span', () => {
  const members = [still({ exposureSeconds: 1 / 400 })];
  const reported = reportedSequence({
    sequence: { kind: 'bracket', members },
    findings: [],
    windowStops: [-0.7, 0],
    stepsStops: [-2, 0, 2],
  });
  expect(reported).toMatchObject({ spanStops: 4, stepsStops: [-2, 0, 2] });
  expect(textOf(reported)).toContain('4 stops in all');
});

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
