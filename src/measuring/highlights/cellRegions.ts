/** How many pixels count in each of the square cells of a picture. */
export interface CellGrid {
  readonly columns: number;
  readonly rows: number;
  readonly counts: Uint32Array;
  /** Pixels looked at in all. */
  readonly pixels: number;
  /** Pixels looked at in a whole cell. */
  readonly cellPixels: number;
}

/** Cells that hang together at an edge or a corner. */
export interface CellRegion {
  /** Pixels that count. */
  readonly pixels: number;
  readonly cells: () => readonly number[];
}

// Runs of neighbours in one row are joined, not cells: of a large sky there are a thousand times fewer.

/** The regions of all cells that hold at least `needed` pixels. */
export function regionsOf({ columns, rows, counts }: CellGrid, needed: number): readonly CellRegion[] {
  // Of each run the first cell, the cell after its last, its pixels, and a run before it that it hangs together with.
  const starts: number[] = [];
  const ends: number[] = [];
  const sums: number[] = [];
  const joined: number[] = [];
  let above = 0;
  for (let row = 0; row < rows; row++) {
    const ofRow = starts.length;
    const rowEnd = (row + 1) * columns;
    for (let cell = row * columns; cell < rowEnd; cell++) {
      if (counts[cell]! < needed) continue;
      const start = cell;
      let pixels = 0;
      for (; cell < rowEnd && counts[cell]! >= needed; cell++) pixels += counts[cell]!;
      joined.push(starts.length);
      starts.push(start);
      ends.push(cell);
      sums.push(pixels);
      // Corners touch too.
      while (above < ofRow && ends[above]! < start - columns) above++;
      for (let run = above; run < ofRow && starts[run]! <= cell - columns; run++)
        join(joined, run, starts.length - 1);
    }
    above = ofRow;
  }
  const firsts = joined.map((_, run) => firstOf(joined, run));
  firsts.forEach((first, run) => {
    if (first !== run) sums[first]! += sums[run]!;
  });
  const cellsFrom = (first: number): number[] =>
    firsts.flatMap((one, run) => (one === first ? stretch(starts[run]!, ends[run]!) : []));
  return firsts.flatMap((first, run) =>
    first === run ? [{ pixels: sums[run]!, cells: () => cellsFrom(run) }] : [],
  );
}

function stretch(start: number, end: number): number[] {
  return Array.from({ length: end - start }, (_, i) => start + i);
}

function join(joined: number[], one: number, other: number): void {
  const [a, b] = [firstOf(joined, one), firstOf(joined, other)];
  joined[Math.max(a, b)] = Math.min(a, b);
}

function firstOf(joined: number[], run: number): number {
  let at = run;
  while (joined[at] !== at) {
    joined[at] = joined[joined[at]!]!;
    at = joined[at]!;
  }
  return at;
}

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
