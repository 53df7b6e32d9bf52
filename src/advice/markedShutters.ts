/**
 * Denominators of the shutter times that cameras let one set, in third stops, with the video times between them
 * (common practice, no source).
 */
const denominators: readonly number[] = [
  8, 10, 13, 15, 20, 24, 25, 30, 40, 48, 50, 60, 80, 96, 100, 120, 125, 160, 200, 240, 250, 320, 400, 480,
  500, 640, 800, 1000, 1250, 1600, 2000, 2500, 3200, 4000, 5000, 6400, 8000,
];

/** Shutter times that can be set on a camera, in seconds, the longest first. */
export const markedShutterSeconds: readonly number[] = denominators.map((denominator) => 1 / denominator);

/** A marked 1/125 s is in truth 1/128 s, so marks may miss by this much. */
const markSlack = 1.03;

/** The longest marked time that is not longer than `exposureSeconds`. */
export function markedNotLongerThan(exposureSeconds: number): number | undefined {
  return markedShutterSeconds.find((marked) => marked <= exposureSeconds * markSlack);
}
