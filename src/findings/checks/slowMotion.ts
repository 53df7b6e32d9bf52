import { framesPerSecond } from '../../domain/frameRate.ts';
import type { Check } from '../check.ts';

/** Rates nearer to each other than this are one rate: 24 and 24000/1001 differ by 0.001. */
const sameFraction = 0.01;

/** slow-motion: the clip plays at another rate than it was captured at, and its shutter counts at the capture rate. */
export const slowMotion: Check = ({ recording: { kind, facts } }) => {
  if (kind !== 'clip' || !facts.frameRate || !facts.playbackFrameRate) return undefined;
  const capture = framesPerSecond(facts.frameRate.value);
  const playback = framesPerSecond(facts.playbackFrameRate.value);
  if (Math.abs(capture / playback - 1) < sameFraction) return undefined;
  return {
    kind: 'slow-motion',
    weight: 'low',
    captureFramesPerSecond: capture,
    playbackFramesPerSecond: playback,
  };
};
