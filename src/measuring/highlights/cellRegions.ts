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
