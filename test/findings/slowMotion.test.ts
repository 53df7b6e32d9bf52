import { expect, test } from 'vitest';
import { slowMotion } from '../../src/findings/slowMotion.ts';
import { clip, fps, judged } from './subject.ts';

const found = (capture: ReturnType<typeof fps>, playback: ReturnType<typeof fps>) =>
  slowMotion.find(judged(clip({ frameRate: capture, playbackFrameRate: playback })))[0];

test('a clip that plays slower than it was captured says both rates', () => {
  expect(found(fps(120), fps(24))).toMatchObject({
    kind: 'slow-motion',
    weight: 'low',
    captureFramesPerSecond: 120,
    playbackFramesPerSecond: 24,
  });
});

test('24 and 24000/1001 are one rate', () => expect(found(fps(24), fps(24000, 1001))).toBeUndefined());
