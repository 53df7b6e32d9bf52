/**
 * Round: as compact as a disc, neither long nor square. For a disc of uniform weight area = 2π × the sum of its two
 * variances; any other shape has less area for its spread (a square 0.955 of it, an ellipse of 3:2 0.92, a strip of
 * 2:1 0.76), and a disc fills π/4 of its bounding box where a rectangle fills all of it. Made of few cells, a disc fills
 * up to 0.94 of it.
 */
export function looksRound(cells: readonly number[], columns: number): boolean {
  const xs = cells.map((cell) => cell % columns);
  const ys = cells.map((cell) => Math.floor(cell / columns));
  const width = extent(xs);
  const height = extent(ys);
  if (Math.max(width, height) > 1.6 * Math.min(width, height) + 1) return false;
  // A spot of so few cells has no outline to speak of.
  if (Math.max(width, height) < 6) return true;
  const compactness = cells.length / (2 * Math.PI * (variance(xs) + variance(ys) + 1 / 6));
  return compactness >= 0.85 && cells.length / (width * height) <= 0.95;
}

function extent(values: readonly number[]): number {
  let [low, high] = [Infinity, -Infinity];
  for (const value of values) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  return high - low + 1;
}

function variance(values: readonly number[]): number {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length;
}
