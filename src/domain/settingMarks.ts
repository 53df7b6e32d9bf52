import { stopsFromRatio } from './exposure.ts';

/** Denominators of the shutter times that cameras let one set, in third stops (common practice, no source). */
const thirds: readonly number[] = [
  8, 10, 13, 15, 20, 25, 30, 40, 50, 60, 80, 100, 125, 160, 200, 250, 320, 400, 500, 640, 800, 1000, 1250,
  1600, 2000, 2500, 3200, 4000, 5000, 6400, 8000,
];

/** What cameras offer between them for moving pictures (common practice, no source). */
const betweenForVideo: readonly number[] = [24, 48, 96, 120, 240, 480];

/** Shutter times of moving pictures that can be set on a camera, in seconds, the longest first. */
export const markedShutterSeconds: readonly number[] = [...thirds, ...betweenForVideo]
  .sort((a, b) => a - b)
  .map((denominator) => 1 / denominator);

/** In seconds (common practice, no source). */
const longShutterSeconds: readonly number[] = [
  30,
  25,
  20,
  15,
  13,
  10,
  8,
  6,
  5,
  4,
  3.2,
  2.5,
  2,
  1.6,
  1.3,
  1,
  0.8,
  0.6,
  0.5,
  0.4,
  0.3,
  0.25,
  0.2,
  1 / 6,
];

const stillShutterSeconds: readonly number[] = [
  ...longShutterSeconds,
  ...thirds.map((denominator) => 1 / denominator),
];

/** Third-stop marks of sensitivity (ISO 12232, from memory). */
const markedIso: readonly number[] = [
  25, 32, 40, 50, 64, 80, 100, 125, 160, 200, 250, 320, 400, 500, 640, 800, 1000, 1250, 1600, 2000, 2500,
  3200, 4000, 5000, 6400, 8000, 10_000, 12_800, 16_000, 20_000, 25_600, 32_000, 40_000, 51_200, 64_000,
  80_000, 102_400,
];

/**
 * The shutter time that a camera shows for an exposure time of a still.
 * @param exposureSeconds > 0
 * @example nearestShutterMark(0.0021) // 0.002
 */
export function nearestShutterMark(exposureSeconds: number): number {
  return nearest(stillShutterSeconds, exposureSeconds);
}

/**
 * The sensitivity that a camera shows.
 * @example nearestIsoMark(405) // 400
 */
export function nearestIsoMark(iso: number): number {
  return nearest(markedIso, iso);
}

function nearest(marks: readonly number[], value: number): number {
  const away = (mark: number) => Math.abs(stopsFromRatio(mark / value));
  return marks.reduce((best, mark) => (away(mark) < away(best) ? mark : best));
}
