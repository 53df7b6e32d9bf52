import type { ClippedShape, FrameMeasure } from '../../domain/measurement.ts';

/** Rows of codes; where only some rows of the picture are there, each stands for `rowStep` of them. */
interface Codes {
  readonly width: number;
  readonly height: number;
  readonly codes: Uint8Array | Uint16Array | Float32Array;
  readonly rowStep?: number;
}

/** The parts of a picture whose codes lie in a span. Shares are of the whole picture. */
interface ClippedRegion {
  readonly largestFraction: number;
  readonly shape: ClippedShape;
  /** How many separate round spots, where the shape is a disc. */
  readonly spots?: number;
  readonly thirds: FrameMeasure['clippedThirds'];
}

// Cells of a 480th of the longer side: a sun disc is a handful of cells wide, and codec speckle does not bridge gaps.
const cellsAcross = 480;
/** A cell belongs to a region from this share of clipped pixels. */
const cellShare = 0.25;
/**
 * A spot larger than this is a sky or a wall, however round. The sun is half a degree wide, below 0.01% of the
 * picture of any wide lens; glare around it makes a percent of that (common practice, no source).
 */
const discAreaFraction = 0.02;
/** Lamps and their reflections come in groups; more than these are the sparkle of a surface. */
const mostSpots = 12;
/** Share of what is clipped that must lie in round spots for the picture to be one of spots. */
const roundShare = 0.6;

/**
 * The largest connected region of codes from `low` to `high`, both included, how all regions look, and where they lie
 * once the picture is turned clockwise by `rotationDegrees`.
 */
export function clippedRegion(
  picture: Codes,
  span: { readonly low: number; readonly high: number },
  rotationDegrees = 0,
): ClippedRegion {
  const grid = countCells(picture, span);
  const regions = regionsOf(grid, Math.max(1, cellShare * grid.cellPixels));
  const total = grid.counts.reduce((sum, count) => sum + count, 0);
  const area = grid.pixels;
  const largest = regions.reduce((most, { pixels }) => Math.max(most, pixels), 0);
  const spots = countSpots(regions, grid, { total, area });
  return {
    largestFraction: largest / area,
    shape: spots === undefined ? 'area' : 'disc',
    spots,
    thirds: thirdsOf(grid, area, rotationDegrees),
  };
}

function countCells(
  { width, height, codes, rowStep = 1 }: Codes,
  { low, high }: { readonly low: number; readonly high: number },
): CellGrid {
  const smallest = Math.max(1, Math.ceil(Math.max(width, height * rowStep) / cellsAcross));
  // Where rows are left out, as many columns may be, and large cells need no more than a few of their pixels.
  const step = smallest > 8 - rowStep ? 2 : 1;
  // Whole steps, so that cells are square in the picture and each begins with a pixel that is looked at.
  const side = Math.ceil(smallest / (rowStep * step)) * rowStep * step;
  const sideRows = side / rowStep;
  const columns = Math.ceil(width / side);
  const rows = Math.ceil(height / sideRows);
  const counts = new Uint32Array(columns * rows);
  const below = (low - 1) | 0;
  const above = (high + 1) | 0;
  for (let y = 0; y < height; y += step) {
    let cell = Math.floor(y / sideRows) * columns;
    const rowEnd = (y + 1) * width;
    for (let start = y * width; start < rowEnd; start += side, cell++) {
      let count = 0;
      // Sign bits count without branches, which noise would mispredict.
      for (let i = start, end = Math.min(rowEnd, start + side); i < end; i += rowStep * step)
        count += ((below - codes[i]!) & (codes[i]! - above)) >>> 31;
      counts[cell]! += count;
    }
  }
  const pixels = Math.ceil(width / (rowStep * step)) * Math.ceil(height / step);
  return { columns, rows, counts, pixels, cellPixels: (sideRows / step) ** 2 };
}

/** How many round spots hold most of what is clipped; undefined where it is not a matter of a few round spots. */
function countSpots(
  regions: readonly CellRegion[],
  grid: CellGrid,
  { total, area }: { readonly total: number; readonly area: number },
): number | undefined {
  const specks = 0.01 * total;
  const large = regions.filter(({ pixels }) => pixels > specks);
  if (large.length === 0 || large.length > mostSpots) return undefined;
  const round = large.filter(
    ({ pixels, cells }) => pixels <= discAreaFraction * area && looksRound(cells(), grid.columns),
  );
  const inSpots = round.reduce((sum, { pixels }) => sum + pixels, 0);
  const others = large.filter((region) => !round.includes(region));
  // A small spot beside a clipped sky is not what the picture is about.
  return inSpots >= roundShare * total && others.length === 0 ? round.length : undefined;
}

function thirdsOf(
  { columns, rows, counts }: CellGrid,
  area: number,
  rotationDegrees: number,
): ClippedRegion['thirds'] {
  const turn = ((rotationDegrees % 360) + 360) % 360;
  // Thirds as they are shown lie along the columns of a picture that is turned by a quarter.
  const lines = turn % 180 === 0 ? rows : columns;
  const isReversed = turn === 180 || turn === 270;
  const thirdOf = Uint8Array.from({ length: lines }, (_, line) => {
    const along = (line + 0.5) / lines;
    return Math.floor(3 * (isReversed ? 1 - along : along));
  });
  const sums: [number, number, number] = [0, 0, 0];
  for (let row = 0, cell = 0; row < rows; row++)
    for (let column = 0; column < columns; column++, cell++)
      if (counts[cell] !== 0) sums[thirdOf[turn % 180 === 0 ? row : column]!]! += counts[cell]!;
  return { upper: sums[0] / area, middle: sums[1] / area, lower: sums[2] / area };
}

/** How many pixels count in each of the square cells of a picture. */
interface CellGrid {
  readonly columns: number;
  readonly rows: number;
  readonly counts: Uint32Array;
  /** Pixels looked at in all. */
  readonly pixels: number;
  /** Pixels looked at in a whole cell. */
  readonly cellPixels: number;
}

/** Cells that hang together at an edge or a corner. */
interface CellRegion {
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
    firsts.flatMap((root, run) => (root === first ? stretch(starts[run]!, ends[run]!) : []));
  return firsts.flatMap((first, run) =>
    first === run ? [{ pixels: sums[run]!, cells: () => cellsFrom(run) }] : [],
  );
}

function stretch(start: number, end: number): number[] {
  return Array.from({ length: end - start }, (_, i) => start + i);
}

function join(joined: number[], run: number, other: number): void {
  const [a, b] = [firstOf(joined, run), firstOf(joined, other)];
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
