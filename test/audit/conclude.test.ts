import { expect, test } from 'vitest';
import { flightLight } from '../../src/audit/conclude.ts';
import { concludeAlone } from '../../src/audit/concludeAlone.ts';
import type { Recording, RecordingKind } from '../../src/domain/recording.ts';
import { defaultLimits } from '../../src/domain/limits.ts';

const placed = (kind: RecordingKind, recordedAt: string): Recording => ({
  path: 'A',
  kind,
  sizeBytes: 1,
  facts: { recordedAt: { value: recordedAt, source: 'test' }, longitude: { value: 150, source: 'test' } },
  refusals: [],
  sidecars: [],
});

const atSeconds = (recording: Recording): number | undefined =>
  flightLight({
    ...concludeAlone({ recording }, { limits: defaultLimits, longestTimeline: 600 }),
    fitted: undefined,
  }).atSeconds;

// 150 degrees east is ten hours ahead of UTC; zones follow the sun to two and a half hours.
test('a clip in UTC and a still in local time that were taken together lie together', () => {
  const clip = atSeconds(placed('clip', '2026-05-14T02:00:00Z'))!;
  const still = atSeconds(placed('still', '2026-05-14T12:00:00'))!;
  expect(Math.abs(clip - still)).toBeLessThanOrEqual(2.5 * 3600);
});
