import { max, min } from 'd3-array';
import { area, curveLinear, curveStepAfter, line } from 'd3-shape';

/** Paths are drawn in this many units from start to end of the clip, and stretched to the width that there is. */
export const plotUnits = 1000;
const rowHeight = 34;
/** A quantity that stays the same needs no more than a line. */
const flatHeight = 12;
/** Less than this of a row's height is no change that could be seen. */
const flatShare = 0.06;
/** More would run into a line. */
const mostDots = 60;

/** A value at a moment of a clip. */
export interface Point {
  readonly atSeconds: number;
  readonly value: number;
}

/** How high a row has to be, and where a value lies in it. `scale` gives 0 at the top and 1 at the bottom. */
export function rowScale(values: readonly number[], scale: (value: number) => number) {
  const flat = scale(min(values) ?? 0) - scale(max(values) ?? 0) < flatShare;
  const height = flat ? flatHeight : rowHeight;
  return { height, y: (value: number) => 2 + scale(value) * (height - 4) };
}

/** The line, the steps or the area through the points, as an SVG path. */
export function drawn(
  points: readonly Point[],
  duration: number,
  yOf: (value: number) => number,
  style: 'line' | 'steps' | { readonly filledTo: number } = 'line',
): string {
  const x = ({ atSeconds }: Point) => Number((share(atSeconds, duration) * plotUnits).toFixed(1));
  const y = ({ value }: Point) => Number(yOf(value).toFixed(1));
  if (typeof style === 'object')
    return area<Point>().x(x).y0(style.filledTo).y1(y).digits(1)([...points]) ?? '';
  const curve = style === 'steps' ? curveStepAfter : curveLinear;
  return line<Point>().x(x).y(y).curve(curve).digits(1)([...points]) ?? '';
}

/** Where the points lie, where they are few enough to be told apart. */
export function dotsOf(points: readonly Point[], duration: number, y: (value: number) => number) {
  if (points.length > mostDots) return [];
  return points.map(({ atSeconds, value }) => ({ share: share(atSeconds, duration), y: y(value) }));
}

/** Where a moment lies in the clip, [0, 1]. */
export function share(seconds: number, duration: number): number {
  return Math.min(Math.max(seconds / duration, 0), 1);
}
