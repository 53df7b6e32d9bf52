import { framesPerSecond } from './frameRate.ts';
import type { FrameRate } from './frameRate.ts';
import type { Facts } from './recording.ts';
import { isLongerThanFrame } from './shutter.ts';

/** What the shutter of a clip opens for, and how often. */
export interface ShutterRate {
  readonly rate: FrameRate;
  /** Only where the pictures are stored in fields. */
  readonly countedOn?: 'frame' | 'field';
}

/**
 * How often the shutter opened: for each frame, or for each field where those were taken one after the other. 1080/50/I
 * has 25 frames and 50 fields a second (Recommendation ITU-R BT.709-6). An exposure that no field has time for was one of
 * a frame, whose fields are then of one moment.
 *
 * @returns undefined where the frame rate is not known, or fields are, and nothing tells whether each has its own moment
 * @example shutterRate({ frameRate: { value: { numerator: 25, denominator: 1 }, source: 'a' }, scan: { value: 'interlaced', source: 'a' } }) // { rate: { numerator: 50, denominator: 1 }, countedOn: 'field' }
 */
export function shutterRate({
  frameRate,
  scan,
  exposureSeconds,
}: Pick<Facts, 'frameRate' | 'scan' | 'exposureSeconds'>): ShutterRate | undefined {
  if (frameRate === undefined) return undefined;
  const rate = frameRate.value;
  if (scan === undefined) return { rate };
  if (scan.value === 'progressive-in-fields') return { rate, countedOn: 'frame' };
  if (scan.value === 'interlaced') return { rate: fieldRate(rate), countedOn: 'field' };
  const longest = {
    exposureSeconds: exposureSeconds?.value ?? 0,
    framesPerSecond: framesPerSecond(fieldRate(rate)),
  };
  return isLongerThanFrame(longest) ? { rate, countedOn: 'frame' } : undefined;
}

/**
 * @returns fields a second: two for each frame
 * @example fieldRate({ numerator: 30000, denominator: 1001 }) // { numerator: 60000, denominator: 1001 }
 */
export function fieldRate({ numerator, denominator }: FrameRate): FrameRate {
  return { numerator: 2 * numerator, denominator };
}
