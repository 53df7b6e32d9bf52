import { choleskyFactor, solveLower, solveUpper } from '../domain/linearAlgebra.ts';
import { countsOf, type Inside, type PictureLattice } from './pictureLattice.ts';

// Black bars and the black around a fisheye's circle are no shadows: what is measured is the picture inside of them. What
// is black and constant from an edge on may also be a night sky or a cave. So bars come in pairs, as a picture of another
// shape stands in the middle of its frame, and they end in a straight line against a picture. A circle fills the shorter
// side, which a moon does not. The numbers are our own choice, no source; test/measuring/pictureArea.test.ts shows what
// they tell apart. Where it is in doubt, the whole picture is measured.

/** The part of one picture that is no black frame. */
export interface PictureArea {
  readonly shape: 'bars' | 'circle';
  /** Share of the whole picture. */
  readonly fraction: number;
  /** A little within the edge, where codecs and lenses leave it soft. */
  readonly holds: Inside;
  /** False where this picture alone does not prove it: what is inside of the bars is dark too. */
  readonly isSharp: boolean;
}

/** Signals, of the range: how dark a frame is at most, and how bright at least half of the line beside a bar. */
const blackSignal = 0.02;
const besideSignal = 0.1;
/** Share of a line, and of all bars, that may differ: a logo, noise of a codec. */
const strayShare = 0.01;
const constantShare = 0.9;
/** Places of the lattice, 160 of them along the longer side. */
const leastBar = 2;
/** How much thicker the bar at the other side may be; beyond, what is thicker is picture that is black. */
const thicker = 1.25;

/** Black and white of the 8-bit codes in use. */
interface CodeEnds {
  readonly black: number;
  readonly peak: number;
}

export function pictureArea(lattice: PictureLattice, { black, peak }: CodeEnds): PictureArea | undefined {
  const limit = black + blackSignal * (peak - black);
  const bars = barred(lattice, limit, black + besideSignal * (peak - black));
  // Around a circle there are bars too, that end in a curve.
  return bars?.isSharp === true ? bars : (circled(lattice, limit) ?? bars);
}

function barred(lattice: PictureLattice, limit: number, besideCode: number): PictureArea | undefined {
  const { columns, rows, luma } = lattice;
  const shareAbove = (code: number, line: number, side: 'row' | 'column'): number => {
    const places = side === 'row' ? columns : rows;
    let above = 0;
    for (let i = 0; i < places; i++)
      if (luma[side === 'row' ? line * columns + i : i * columns + line]! > code) above++;
    return above / places;
  };
  const pair = (side: 'row' | 'column') => {
    const lines = side === 'row' ? rows : columns;
    const isBlack = (line: number): boolean => shareAbove(limit, line, side) <= strayShare;
    let [first, last] = [0, lines - 1];
    while (first < lines && isBlack(first)) first++;
    while (last > first && isBlack(last)) last--;
    const bars = { from: first, to: lines - 1 - last };
    const thinner = Math.min(bars.from, bars.to);
    if (thinner < leastBar || first >= last) return { lines, from: 0, to: 0, isSharp: true };
    const [from, to] = [bars.from, bars.to].map((bar) => (bar <= thicker * thinner + 1 ? bar : thinner)) as [
      number,
      number,
    ];
    // The line at the edge itself may be half a bar's.
    const isSharp = [from + 1, lines - 2 - to].every((line) => shareAbove(besideCode, line, side) >= 0.5);
    return { lines, from, to, isSharp };
  };
  const [down, across] = [pair('row'), pair('column')];
  if (down.from + across.from === 0 || !isConstantOutside(lattice, down, across)) return undefined;
  const within = ({ lines, from, to }: typeof down, at: number): boolean =>
    (from === 0 || at > (from + 0.5) / lines) && (to === 0 || at < 1 - (to + 0.5) / lines);
  return {
    shape: 'bars',
    fraction: (1 - (down.from + down.to) / rows) * (1 - (across.from + across.to) / columns),
    holds: (x, y) => within(across, x) && within(down, y),
    isSharp: down.isSharp && across.isSharp,
  };
}

interface Bars {
  readonly from: number;
  readonly to: number;
}

/** Whether the bars have one code: give or take one, which is a codec's rounding. */
function isConstantOutside({ columns, rows, luma }: PictureLattice, down: Bars, across: Bars): boolean {
  const outside = luma.filter((_, place) => {
    const [row, column] = [Math.floor(place / columns), place % columns];
    return row < down.from || row >= rows - down.to || column < across.from || column >= columns - across.to;
  });
  const counts = countsOf(outside);
  const near = (code: number): number =>
    [code - 1, code, code + 1].reduce((sum, other) => sum + (counts.get(other) ?? 0), 0);
  return Math.max(...[...counts.keys()].map(near)) >= constantShare * outside.length;
}

/** Of the shorter side: a fisheye fills it, a moon or a lamp does not. */
const leastDiameter = 0.9;
/** Share of the picture that corners outside of a circle take up at the least. */
const leastOutside = 0.06;
/** Of the radius: how far dark parts of a picture may lie inside of the circle, and how wide its ring is. */
const ringWidth = 0.06;
/** Share of the ring that must not be black. */
const litRing = 0.7;

/** Looks for a circle around what is not black. */
function circled({ columns, rows, luma }: PictureLattice, limit: number): PictureArea | undefined {
  const isBlack = (column: number, row: number): boolean => luma[row * columns + column]! <= limit;
  const corners = [0, columns - 1].flatMap((column) => [0, rows - 1].map((row) => isBlack(column, row)));
  if (!corners.every(Boolean)) return undefined;
  const outline = outlineOf({ columns, rows }, isBlack);
  const first = fitCircle(outline);
  // Dark parts of the picture at its rim lie inside; the circle goes through the rest.
  const rim = first && outline.filter(({ x, y }) => distance(first, x, y) > (1 - ringWidth) * first.radius);
  const circle = rim && fitCircle(rim);
  if (circle === undefined || 2 * circle.radius < leastDiameter * Math.min(columns, rows)) return undefined;
  const count = { inside: 0, ring: 0, litRing: 0, litOutside: 0 };
  for (let row = 0; row < rows; row++)
    for (let column = 0; column < columns; column++) {
      const from = distance(circle, column, row);
      if (from <= circle.radius) count.inside++;
      if (from > circle.radius + 1.5) {
        if (!isBlack(column, row)) count.litOutside++;
      } else if (from < circle.radius - 1 && from > (1 - ringWidth) * circle.radius - 1) {
        count.ring++;
        if (!isBlack(column, row)) count.litRing++;
      }
    }
  const outside = columns * rows - count.inside;
  if (outside < leastOutside * columns * rows || count.litOutside > strayShare * outside) return undefined;
  if (count.litRing < litRing * count.ring) return undefined;
  return {
    shape: 'circle',
    fraction: count.inside / (columns * rows),
    holds: (x, y) => distance(circle, x * columns - 0.5, y * rows - 0.5) < circle.radius - 1,
    isSharp: true,
  };
}

interface Place {
  readonly x: number;
  readonly y: number;
}

/** In each row the first and the last place that is not black, where that is not the edge of the picture. */
function outlineOf(
  { columns, rows }: Pick<PictureLattice, 'columns' | 'rows'>,
  isBlack: (column: number, row: number) => boolean,
): readonly Place[] {
  const places: Place[] = [];
  for (let row = 0; row < rows; row++) {
    let [first, last] = [0, columns - 1];
    while (first < columns && isBlack(first, row)) first++;
    while (last > first && isBlack(last, row)) last--;
    if (first > 0 && first < columns) places.push({ x: first, y: row });
    if (last > first && last < columns - 1) places.push({ x: last, y: row });
  }
  return places;
}

interface Circle extends Place {
  readonly radius: number;
}

/** The circle x² + y² = ax + by + c of least squares (Kåsa, A circle fitting procedure and its error analysis, 1976). */
function fitCircle(places: readonly Place[]): Circle | undefined {
  if (places.length < 20) return undefined;
  const sum = (of: (place: Place) => number): number => places.reduce((total, place) => total + of(place), 0);
  const [x, y] = [sum((p) => p.x), sum((p) => p.y)];
  const [xx, xy, yy] = [sum((p) => p.x ** 2), sum((p) => p.x * p.y), sum((p) => p.y ** 2)];
  const square = (p: Place): number => p.x ** 2 + p.y ** 2;
  const factor = choleskyFactor(
    [
      [xx, xy, x],
      [xy, yy, y],
      [x, y, places.length],
    ].map((row) => Float64Array.from(row)),
  );
  const right = [sum((p) => p.x * square(p)), sum((p) => p.y * square(p)), sum(square)];
  const [a, b, c] = solveUpper(factor, solveLower(factor, right)) as unknown as [number, number, number];
  const radius = Math.sqrt(c + (a * a + b * b) / 4);
  return Number.isFinite(radius) ? { x: a / 2, y: b / 2, radius } : undefined;
}

function distance({ x, y }: Place, toX: number, toY: number): number {
  return Math.hypot(toX - x, toY - y);
}

/** Bars whose pictures differ by no more are the same, give or take a line of the lattice at each. */
const sameFraction = 0.03;
/** Every so many of the pictures must show the circle of a fisheye: dark ones do not. */
const circledShare = 0.75;

/**
 * What the pictures of one clip agree on: bars that none of them contradicts and one proves, or a circle. Undefined
 * where the whole picture counts.
 */
export function agreedArea(
  areas: readonly (PictureArea | undefined)[],
): Pick<PictureArea, 'shape' | 'fraction'> | undefined {
  const shown = areas.flatMap((area) => area ?? []);
  const barredAreas = shown.filter(({ shape }) => shape === 'bars');
  const largest = Math.max(...barredAreas.map(({ fraction }) => fraction));
  const isProven = barredAreas.some(({ fraction, isSharp }) => isSharp && fraction > largest - sameFraction);
  if (isProven && barredAreas.length === areas.length) return { shape: 'bars', fraction: largest };
  const circles = shown.filter(({ shape }) => shape === 'circle');
  if (circles.length === 0 || circles.length < circledShare * areas.length) return undefined;
  return { shape: 'circle', fraction: Math.max(...circles.map(({ fraction }) => fraction)) };
}
