import type { MotionSummary } from '../../domain/measurement.ts';
import { median, quantile } from '../../domain/statistics.ts';
import type { Shift } from './crossSpectrum.ts';
import type { TileShifts } from './motion.ts';

/** Median and 95th percentile of |motion|; undefined where no tile could be followed. */
export function summariseMotion(
  shifts: readonly Shift[],
): { readonly median: number; readonly high: number } | undefined {
  const lengths = shifts.map(({ x, y }) => Math.hypot(x, y));
  const middle = median(lengths);
  const high = quantile(lengths, 0.95);
  return middle === undefined || high === undefined ? undefined : { median: middle, high };
}

/** Below this nothing moves that has a direction: the accuracy of the measurement itself. */
const leastPixels = 0.2;
/** Length of the mean of all unit directions: 1 all alike, 0 none prevails. Halfway is our own choice, no source. */
const leastAgreement = 0.5;

export interface MotionFrame {
  /** Of the stored picture. */
  readonly width: number;
  readonly height: number;
  readonly framesPerSecond: number;
  readonly rotationDegrees: number;
}

/** Motion in widths of the picture as it is displayed, and where it goes. */
export function motionInWords(
  pairs: readonly TileShifts[],
  { width, height, framesPerSecond, rotationDegrees }: MotionFrame,
): MotionSummary | undefined {
  const shifts = pairs.flatMap((pair) => pair.shifts);
  const pixels = summariseMotion(shifts);
  if (pixels === undefined) return undefined;
  const widthsPerPixel = framesPerSecond / (rotationDegrees % 180 === 0 ? width : height);
  const directionDegrees = prevailingDirection(shifts, rotationDegrees);
  return {
    widthsPerSecond: { median: pixels.median * widthsPerPixel, high: pixels.high * widthsPerPixel },
    directionDegrees,
    followedTiles: shifts.length,
    tiles: pairs.reduce((sum, { tiles }) => sum + tiles, 0),
  };
}

function prevailingDirection(shifts: readonly Shift[], rotationDegrees: number): number | undefined {
  const moving = shifts.filter(({ x, y }) => Math.hypot(x, y) >= leastPixels);
  if (moving.length * 2 < shifts.length || moving.length === 0) return undefined;
  let [across, down] = [0, 0];
  for (const { x, y } of moving) {
    across += x / Math.hypot(x, y) / moving.length;
    down += y / Math.hypot(x, y) / moving.length;
  }
  if (Math.hypot(across, down) < leastAgreement) return undefined;
  const clockwise = (Math.atan2(across, -down) * 180) / Math.PI + rotationDegrees;
  return ((clockwise % 360) + 360) % 360;
}
