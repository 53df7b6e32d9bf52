import { z } from 'zod';
import { formatRate } from '../domain/format.ts';
import { framesPerSecond } from '../domain/frameRate.ts';
import { finding } from './finding.ts';

/** Rates nearer to each other than this are one rate: 24 and 24000/1001 differ by 0.001. */
const sameFraction = 0.01;

export const slowMotion = finding({
  kind: 'slow-motion',
  data: z.object({ captureFramesPerSecond: z.number(), playbackFramesPerSecond: z.number() }),
  topic: 'frames',
  title: 'slow or fast motion',
  check: ({ recording: { kind, facts } }) => {
    if (kind !== 'clip' || !facts.frameRate || !facts.playbackFrameRate) return undefined;
    const capture = framesPerSecond(facts.frameRate.value);
    const playback = framesPerSecond(facts.playbackFrameRate.value);
    if (Math.abs(capture / playback - 1) < sameFraction) return undefined;
    return { weight: 'low', captureFramesPerSecond: capture, playbackFramesPerSecond: playback };
  },
  sentence: ({ captureFramesPerSecond, playbackFramesPerSecond }) => {
    const ratio = captureFramesPerSecond / playbackFramesPerSecond;
    const factor = Number(Math.max(ratio, 1 / ratio).toFixed(1));
    return (
      `Captured at ${formatRate(captureFramesPerSecond)} fps and played at ${formatRate(playbackFramesPerSecond)} fps: ` +
      `${factor} times ${ratio > 1 ? 'slower' : 'faster'} than life. The shutter is held against the capture rate.`
    );
  },
  remedy: () => ({}),
  meaning:
    'The clip plays at another rate than it was captured at, so motion is slower or faster than life. The shutter is judged ' +
    'at the rate at which it opened.',
  limit: {
    at: 'capture and playback rate differ by more than 1%',
    reason: '24 and 23.976 frames/s differ by 0.1% and are one rate to a viewer',
    source: 'arithmetic',
  },
  example: { weight: 'low', captureFramesPerSecond: 120, playbackFramesPerSecond: 30 },
});
