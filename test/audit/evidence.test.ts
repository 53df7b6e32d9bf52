import { expect, test } from 'vitest';
import { flightLight } from '../../src/audit/conclude.ts';
import { evidenceOf } from '../../src/audit/evidence.ts';
import { defaultLimits } from '../../src/domain/limits.ts';
import type { Recording, RecordingKind } from '../../src/domain/recording.ts';
import { clip, fps, measured, track } from '../findings/subject.ts';

// A second each at 1/200 and 1/50 s: two stops by hand. The window and the target are those of the defaults.
const samples = [200, 200, 200, 50, 50, 50].map((one) => ({
  exposureSeconds: 1 / one,
  meteredOffsetStops: 0.5,
}));
const recording = clip({ exposureSeconds: 1 / 100, iso: 100, frameRate: fps(25) }, track(samples));
const measurement = measured([{ levelStops: 0 }, { levelStops: 1 }]);
const given = { limits: defaultLimits, longestTimeline: 3 };

test('what only the track tells is concluded, and the track is let go', () => {
  const own = evidenceOf({ recording, measurement }, given);
  expect(own.recording).not.toMatchObject({ track: expect.anything() });
  expect(own.offset).toEqual({ offsetStops: 0.5, basis: 'metered' });
  expect(own.light.brightestStops - own.light.darkestStops).toBeCloseTo(2, 9);
  expect(own.isSteady).toBe(false);
  expect(own.findings.map(({ kind }) => kind)).toContain('exposure-drifts');
  expect(own.track).toMatchObject({ samples: 6 });
  expect(own.track?.timeline).toHaveLength(3);
});

test('so are the frames of a clip; those of a still are needed beside others', () => {
  expect(evidenceOf({ recording, measurement }, given).measurement?.frames).toEqual([]);
  expect(evidenceOf({ recording, measurement }, given).picture?.frames).toHaveLength(2);
  const still = evidenceOf({ recording: { ...recording, kind: 'still' }, measurement }, given);
  expect(still.measurement?.frames).toHaveLength(2);
});

test('a document with room for three frames of a clip keeps of each third the one that clips most', () => {
  const clipped = [0, 0.1, 0, 0, 0, 0.3, 0.2, 0];
  const long = measured(clipped.map((clippedFraction) => ({ clippedFraction })));
  const { picture } = evidenceOf({ recording, measurement: long }, given);
  expect(picture?.frames?.map(({ clippedFraction }) => clippedFraction)).toEqual([0.1, 0.3, 0.2]);
  expect(picture?.framesMeasured).toBe(long.framesMeasured);
});

const placed = (kind: RecordingKind, recordedAt: string): Recording => ({
  path: 'A',
  kind,
  sizeBytes: 1,
  facts: { recordedAt: { value: recordedAt, source: 'test' }, longitude: { value: 150, source: 'test' } },
  refusals: [],
  sidecars: [],
});

const atSeconds = (recording: Recording): number | undefined =>
  flightLight(
    {
      ...evidenceOf({ recording }, { limits: defaultLimits, longestTimeline: 600 }),
      fitted: undefined,
    },
    () => 0,
  ).atSeconds;

// 150 degrees east is ten hours ahead of UTC; zones follow the sun to two and a half hours.
test('a clip in UTC and a still in local time that were taken together lie together', () => {
  const clip = atSeconds(placed('clip', '2026-05-14T02:00:00Z'))!;
  const still = atSeconds(placed('still', '2026-05-14T12:00:00'))!;
  expect(Math.abs(clip - still)).toBeLessThanOrEqual(2.5 * 3600);
});
