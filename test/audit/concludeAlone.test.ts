import { expect, test } from 'vitest';
import { concludeAlone } from '../../src/audit/concludeAlone.ts';
import { defaultLimits } from '../../src/domain/limits.ts';
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
  const alone = concludeAlone({ recording, measurement }, given);
  expect(alone.recording).not.toMatchObject({ track: expect.anything() });
  expect(alone.offset).toEqual({ offsetStops: 0.5, basis: 'metered' });
  expect(alone.light.brightestStops - alone.light.darkestStops).toBeCloseTo(2, 9);
  expect(alone.isSteady).toBe(false);
  expect(alone.findings.map(({ kind }) => kind)).toContain('exposure-drifts');
  expect(alone.track).toMatchObject({ samples: 6 });
  expect(alone.track?.timeline).toHaveLength(3);
});

test('so are the frames of a clip; those of a still are needed beside others', () => {
  expect(concludeAlone({ recording, measurement }, given).measurement?.frames).toEqual([]);
  expect(concludeAlone({ recording, measurement }, given).picture?.frames).toHaveLength(2);
  const still = concludeAlone({ recording: { ...recording, kind: 'still' }, measurement }, given);
  expect(still.measurement?.frames).toHaveLength(2);
});

test('a document with room for three frames of a clip keeps of each third the one that clips most', () => {
  const clipped = [0, 0.1, 0, 0, 0, 0.3, 0.2, 0];
  const long = measured(clipped.map((clippedFraction) => ({ clippedFraction })));
  const { picture } = concludeAlone({ recording, measurement: long }, given);
  expect(picture?.frames?.map(({ clippedFraction }) => clippedFraction)).toEqual([0.1, 0.3, 0.2]);
  expect(picture?.framesMeasured).toBe(long.framesMeasured);
});
