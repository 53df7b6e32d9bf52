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
  const cells = [start];
  seen[start] = 1;
  for (let next = 0; next < cells.length; next++) {
    const x = cells[next]! % grid.columns;
    const y = Math.floor(cells[next]! / grid.columns);
    for (let ny = Math.max(0, y - 1); ny <= Math.min(grid.rows - 1, y + 1); ny++) {
      for (let nx = Math.max(0, x - 1); nx <= Math.min(grid.columns - 1, x + 1); nx++) {
        const cell = ny * grid.columns + nx;
        if (seen[cell] === 1 || grid.counts[cell]! < needed) continue;
        seen[cell] = 1;
        cells.push(cell);
      }
    }
  }
  return cells;
}
