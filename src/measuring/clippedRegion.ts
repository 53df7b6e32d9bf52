import type { ClippedShape } from '../domain/measurement.ts';
import type { Luma } from './luma.ts';

export interface ClippedRegion {
  /** Clipped pixels inside the largest connected region. */
  readonly pixels: number;
  readonly shape: ClippedShape;
}

interface CellGrid {
  readonly columns: number;
  readonly rows: number;
  /** Clipped pixels in each cell. */
  readonly counts: Uint32Array;
  readonly cellPixels: number;
}

// Cells of a 480th of the longer side: a sun disc is a handful of cells wide, and codec speckle does not bridge gaps.
const cellsAcross = 480;
/** A cell belongs to a region from this share of clipped pixels. */
const cellShare = 0.25;
/**
 * A spot larger than this is a sky or a wall, however round. The sun is half a degree wide, below 0.01 % of the
 * picture of any wide lens; glare around it makes a percent of that (common practice, no source).
 */
const discAreaFraction = 0.02;
/** Lamps come in groups, but a disc is said only where one region holds most of what is clipped. */
const discDominance = 0.6;

/** The largest connected region of codes at or above `limit`, and how it looks. */
export function clippedRegion(luma: Luma, limit: number): ClippedRegion {
  const grid = countCells(luma, limit);
  const largest = largestRegion(grid);
  const total = grid.counts.reduce((sum, count) => sum + count, 0);
  const isDisc =
    largest.pixels <= discAreaFraction * luma.width * luma.height &&
    largest.pixels >= discDominance * total &&
    isRound(largest.cells, grid.columns);
  return { pixels: largest.pixels, shape: isDisc ? 'disc' : 'area' };
}

function countCells({ width, height, codes }: Luma, limit: number): CellGrid {
  const side = Math.max(1, Math.ceil(Math.max(width, height) / cellsAcross));
  const columns = Math.ceil(width / side);
  const rows = Math.ceil(height / side);
  const counts = new Uint32Array(columns * rows);
  for (let y = 0, i = 0; y < height; y++) {
    let cell = Math.floor(y / side) * columns;
    for (const rowEnd = i + width; i < rowEnd; cell++) {
      let count = 0;
      for (const end = Math.min(rowEnd, i + side); i < end; i++) count += (limit - 1 - codes[i]!) >>> 31;
      counts[cell]! += count;
    }
  }
  return { columns, rows, counts, cellPixels: side * side };
}

function largestRegion(grid: CellGrid): { readonly pixels: number; readonly cells: readonly number[] } {
  const seen = new Uint8Array(grid.counts.length);
  const needed = Math.max(1, cellShare * grid.cellPixels);
  let best: { pixels: number; cells: readonly number[] } = { pixels: 0, cells: [] };
  for (let start = 0; start < seen.length; start++) {
    if (seen[start] === 1 || grid.counts[start]! < needed) continue;
    const cells = flood(grid, start, seen, needed);
    const pixels = cells.reduce((sum, cell) => sum + grid.counts[cell]!, 0);
    if (pixels > best.pixels) best = { pixels, cells };
  }
  return best;
}

function flood(grid: CellGrid, start: number, seen: Uint8Array, needed: number): readonly number[] {
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

/**
 * Round: as compact as a disc, neither long nor square. For a disc of uniform weight area = 2π × the sum of its two
 * variances; any other shape has less area for its spread (a square 0.955 of it, an ellipse of 3:2 0.92, a strip of
 * 2:1 0.76), and a disc fills π/4 of its bounding box where a rectangle fills all of it.
 */
function isRound(cells: readonly number[], columns: number): boolean {
  const xs = cells.map((cell) => cell % columns);
  const ys = cells.map((cell) => Math.floor(cell / columns));
  const width = Math.max(...bounds(xs)) - Math.min(...bounds(xs)) + 1;
  const height = Math.max(...bounds(ys)) - Math.min(...bounds(ys)) + 1;
  if (Math.max(width, height) > 1.6 * Math.min(width, height) + 1) return false;
  // A spot of so few cells has no outline to speak of.
  if (Math.max(width, height) < 6) return true;
  const compactness = cells.length / (2 * Math.PI * (variance(xs) + variance(ys) + 1 / 6));
  return compactness >= 0.85 && cells.length / (width * height) <= 0.9;
}

function bounds(values: readonly number[]): readonly [number, number] {
  let [low, high] = [Infinity, -Infinity];
  for (const value of values) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  return [low, high];
}

function variance(values: readonly number[]): number {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length;
}
