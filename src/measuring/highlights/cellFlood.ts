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

/** The cells that hang together with `start`, at an edge or a corner, each with at least `needed` pixels. */
export function flood(grid: CellGrid, start: number, seen: Uint8Array, needed: number): readonly number[] {
  const { columns, rows, counts } = grid;
  const cells = [start];
  seen[start] = 1;
  for (let next = 0; next < cells.length; next++) {
    const x = cells[next]! % columns;
    const y = (cells[next]! / columns) | 0;
    const left = x === 0 ? 0 : x - 1;
    const right = x === columns - 1 ? x : x + 1;
    const bottom = y === rows - 1 ? y : y + 1;
    for (let ny = y === 0 ? 0 : y - 1; ny <= bottom; ny++) {
      for (let cell = ny * columns + left, last = ny * columns + right; cell <= last; cell++) {
        if (seen[cell] === 1 || counts[cell]! < needed) continue;
        seen[cell] = 1;
        cells.push(cell);
      }
    }
  }
  return cells;
}
