import type { Measurement } from '../../domain/measurement.ts';
import { median, quantile } from '../../domain/statistics.ts';
import type { Frame, FrameGeometry } from '../decoding/frame.ts';
import { shrinkLuma, halveToCodes, type Luma } from '../luma.ts';
import { planCorrelator, coherence, refineShift, type Shift } from './phaseCorrelation.ts';

/** How the content of the tiles that could be followed moved, in pixels, and how many tiles there are. */
interface TileShifts {
  readonly shifts: readonly Shift[];
  readonly tiles: number;
}

type Correlator = ReturnType<typeof planCorrelator>;

interface LumaPair {
  readonly first: Luma;
  readonly second: Luma;
}

/** Finds how the content of each tile moved from one picture to the next. */
type MotionMeter = (first: Luma, second: Luma) => TileShifts;

// Tiles of this size hold enough detail to lock on and are still small enough to follow parallax.
const fineSizes = [128, 64, 32] as const;
/** Of the coarse search: it reaches 28 px there, an eighth of the width or more per frame. */
const coarseSize = 64;
const coarseWidth = 480;
const columns = 6;
const rows = 4;
/** Below this mean step between neighbouring codes, in 8 bits, there is nothing to follow but noise. */
const leastTexture = 0.8;
/** Below this the two tiles do not show the same thing. */
const leastCoherence = 0.5;

/**
 * Wider pictures are looked at in half their size or less, in tiles of half the side: the same part of the picture
 * at a quarter of the work. Displacements are found to two hundredths of a pixel, so what is lost does not count.
 */
const widestLookedAt = 2048;

/** By how much pictures of a width are shrunk before motion is looked for; a power of two. */
export function motionFactor(width: number): number {
  let factor = 1;
  while (width / factor > widestLookedAt) factor *= 2;
  return factor;
}

/**
 * Prepares measuring motion between pictures of one size, given shrunk by motionFactor(); displacements are those of
 * the full size. Pictures too small for a tile give no motion at all.
 */
export function planMotionMeter(width: number, height: number, bitDepth: number): MotionMeter {
  const factor = motionFactor(width);
  const shrunk = { width: Math.floor(width / factor), height: Math.floor(height / factor) };
  const meter = planSizedMeter(shrunk.width, shrunk.height, {
    bitDepth,
    sizes: factor === 1 ? fineSizes : fineSizes.slice(1),
  });
  return (first, second) => {
    const { shifts, tiles } = meter(first, second);
    return { shifts: shifts.map(({ x, y }) => ({ x: x * factor, y: y * factor })), tiles };
  };
}

function planSizedMeter(
  width: number,
  height: number,
  { bitDepth, sizes }: { readonly bitDepth: number; readonly sizes: readonly number[] },
): MotionMeter {
  const size = sizes.find((candidate) => candidate + 16 <= Math.min(width, height));
  if (size === undefined) return () => ({ shifts: [], tiles: 0 });
  const fine = planCorrelator(size);
  const factor = coarseFactor(width, height);
  const coarse = factor > 1 ? planCorrelator(coarseSize) : undefined;
  const texture = leastTexture * 2 ** (bitDepth - 8);

  return (first, second) => {
    const corners = tileCorners(first, size);
    const tiles = corners.filter((corner) => textureOf(first, corner, size) >= texture);
    const guesses =
      coarse === undefined ? [] : coarseShifts(coarse, factor, { first, second }, { tiles, size });
    const shifts = tiles.flatMap(
      (corner, i) => fineShift(fine, { first, second, corner, guess: guesses[i] ?? { x: 0, y: 0 } }) ?? [],
    );
    return { shifts, tiles: corners.length };
  };
}

function coarseFactor(width: number, height: number): number {
  let factor = 1;
  while (width / (factor * 2) >= coarseWidth && height / (factor * 2) >= coarseSize) factor *= 2;
  return factor;
}

function tileCorners({ width, height }: Luma, size: number): readonly Shift[] {
  const place = (index: number, count: number, room: number): number =>
    Math.round(count === 1 ? room / 2 : (index * room) / (count - 1));
  const across = Math.max(1, Math.min(columns, Math.floor(width / size)));
  const down = Math.max(1, Math.min(rows, Math.floor(height / size)));
  return Array.from({ length: across * down }, (_, i) => ({
    x: place(i % across, across, width - size),
    y: place(Math.floor(i / across), down, height - size),
  }));
}

/** Smaller of the two mean steps (across, down): a tile that varies one way only leaves motion along it open. */
function textureOf({ codes, width }: Luma, corner: Shift, size: number): number {
  let across = 0;
  let down = 0;
  let count = 0;
  for (let y = 2; y < size - 2; y += 4) {
    for (let x = 2; x < size - 2; x += 4) {
      const at = (corner.y + y) * width + corner.x + x;
      across += Math.abs(codes[at + 2]! - codes[at - 2]!);
      down += Math.abs(codes[at + 2 * width]! - codes[at - 2 * width]!);
      count++;
    }
  }
  return Math.min(across, down) / count;
}

/** A first guess for each tile; where a tile is not sure, the median of those that are. */
function coarseShifts(
  correlator: Correlator,
  factor: number,
  { first, second }: LumaPair,
  { tiles, size }: { readonly tiles: readonly Shift[]; readonly size: number },
): readonly Shift[] {
  const [a, b] = [shrinkLuma(first, factor), shrinkLuma(second, factor)];
  const peaks = tiles.map((corner) => {
    const middle = (start: number, limit: number): number =>
      Math.round(Math.min(Math.max(0, (start + size / 2) / factor - coarseSize / 2), limit - coarseSize));
    const at = { x: middle(corner.x, a.width), y: middle(corner.y, a.height) };
    return correlator.peak(correlator.spectrum(a, at, b, at), coarseSize / 2 - 4);
  });
  const sure = peaks.filter((peak) => peak.distinctness > 1.3);
  const usual = { x: median(sure.map(({ x }) => x)) ?? 0, y: median(sure.map(({ y }) => y)) ?? 0 };
  return peaks.map((peak) => {
    const { x, y } = peak.distinctness > 1.15 ? peak : usual;
    return { x: Math.round(x * factor), y: Math.round(y * factor) };
  });
}

interface FineSearch extends LumaPair {
  readonly corner: Shift;
  readonly guess: Shift;
}

function fineShift(correlator: Correlator, search: FineSearch): Shift | undefined {
  let { guess } = search;
  let left: Shift = { x: 0, y: 0 };
  for (let round = 0; round < 4; round++) {
    const places = placeTiles(search, guess, correlator.size);
    if (places === undefined) return undefined;
    const spectrum = correlator.spectrum(search.first, places.first, search.second, places.second);
    // Later rounds start from tiles that already lie within a pixel of each other.
    const start = round === 0 ? correlator.peak(spectrum, correlator.size / 4) : { x: 0, y: 0 };
    left = refineShift(spectrum, start);
    if (Math.hypot(left.x - start.x, left.y - start.y) > 1.5) left = start;
    const moved = { x: Math.round(left.x), y: Math.round(left.y) };
    if (moved.x === 0 && moved.y === 0)
      return coherence(spectrum, left) < leastCoherence
        ? undefined
        : { x: guess.x + left.x, y: guess.y + left.y };
    guess = { x: guess.x + moved.x, y: guess.y + moved.y };
  }
  return undefined;
}

/** Half the displacement to either side, moved back inside the picture where an edge is in the way. */
function placeTiles(
  { first: { width, height }, corner }: FineSearch,
  guess: Shift,
  size: number,
): { readonly first: Shift; readonly second: Shift } | undefined {
  const x = placeAlong(corner.x, guess.x, width - size);
  const y = placeAlong(corner.y, guess.y, height - size);
  if (x === undefined || y === undefined) return undefined;
  return { first: { x, y }, second: { x: x + guess.x, y: y + guess.y } };
}

function placeAlong(corner: number, shift: number, room: number): number | undefined {
  if (Math.abs(shift) > room) return undefined;
  const low = Math.max(0, -shift);
  const high = Math.min(room, room - shift);
  return Math.min(high, Math.max(low, corner - Math.floor(shift / 2)));
}

/** Median and 95th percentile of |motion|; undefined where no tile could be followed. */
export function summariseShifts(
  shifts: readonly Shift[],
): { readonly median: number; readonly high: number } | undefined {
  const lengths = shifts.map(({ x, y }) => Math.hypot(x, y));
  const middle = median(lengths);
  const high = quantile(lengths, 0.95);
  return middle === undefined || high === undefined ? undefined : { median: middle, high };
}

/** Below this nothing moves that has a direction: the accuracy of the measurement itself. */
const leastPixels = 0.2;
/** Length of the mean of all unit directions: 1 all alike, 0 none prevails. Halfway is our own choice, no source. */
const leastAgreement = 0.5;

interface MotionFrame {
  /** Of the stored picture. */
  readonly width: number;
  readonly height: number;
  readonly framesPerSecond: number;
  readonly rotationDegrees: number;
}

/** Motion in widths of the picture as it is displayed, and where it goes. */
export function summariseMotion(
  pairs: readonly TileShifts[],
  { width, height, framesPerSecond, rotationDegrees }: MotionFrame,
): Measurement['motion'] {
  const shifts = pairs.flatMap((pair) => pair.shifts);
  const pixels = summariseShifts(shifts);
  if (pixels === undefined) return undefined;
  const widthsPerPixel = framesPerSecond / (rotationDegrees % 180 === 0 ? width : height);
  const directionDegrees = prevailingDirection(shifts, rotationDegrees);
  return {
    widthsPerSecond: { median: pixels.median * widthsPerPixel, high: pixels.high * widthsPerPixel },
    directionDegrees,
    followedTiles: shifts.length,
    tiles: pairs.reduce((sum, { tiles }) => sum + tiles, 0),
  };
}

function prevailingDirection(shifts: readonly Shift[], rotationDegrees: number): number | undefined {
  const moving = shifts.filter(({ x, y }) => Math.hypot(x, y) >= leastPixels);
  if (moving.length * 2 < shifts.length || moving.length === 0) return undefined;
  let [across, down] = [0, 0];
  for (const { x, y } of moving) {
    across += x / Math.hypot(x, y) / moving.length;
    down += y / Math.hypot(x, y) / moving.length;
  }
  if (Math.hypot(across, down) < leastAgreement) return undefined;
  const clockwise = (Math.atan2(across, -down) * 180) / Math.PI + rotationDegrees;
  return ((clockwise % 360) + 360) % 360;
}

/** Fewer tiles that were followed say nothing of the whole: the scene may have been cut. */
const leastFollowed = 4;
const fastShare = 0.6;

interface Pair extends TileShifts {
  readonly atSeconds: number;
  readonly repeated: boolean;
}

/**
 * Collects motion from pairs of consecutive frames. `framesPerSecond`: frames farther apart than its consecutive ones
 * are not taken for a pair.
 */
export function planMotionPairs(
  geometry: FrameGeometry,
  timing: { readonly framesPerSecond: number; readonly rotationDegrees: number },
) {
  const { width, height, bitDepth } = geometry;
  const meter = planMotionMeter(width, height, bitDepth);
  const copies = [planCopy(width), planCopy(width)] as const;
  const pairs: Pair[] = [];
  let opened: { readonly luma: Luma; readonly atSeconds: number } | undefined;
  return {
    first: (frame: Frame): void => {
      opened = { luma: copies[0](frame), atSeconds: frame.atSeconds };
    },
    /** The frame that follows on the one given to first(). */
    second: (frame: Frame): void => {
      if (opened === undefined) return;
      const { luma: first, atSeconds } = opened;
      const gapFrames = (frame.atSeconds - atSeconds) * timing.framesPerSecond;
      opened = undefined;
      if (gapFrames <= 0 || gapFrames > 1.5) return;
      const second = copies[1](frame);
      const repeated = second.codes.every((code, i) => code === first.codes[i]);
      pairs.push({ ...meter(first, second), atSeconds, repeated });
    },
    /** Median motion of each pair that moved or stood still, by the time of its first frame. */
    overTime: (): ReadonlyMap<number, number> => {
      const overTime = new Map<number, number>();
      for (const { atSeconds, shifts, repeated } of pairs) {
        const motion = repeated ? undefined : summariseShifts(shifts);
        if (motion !== undefined) overTime.set(atSeconds, motion.median);
      }
      return overTime;
    },
    /** The pairs that move most, fastest first: sky and horizon may stand still, so most of the picture need not move. */
    fastest: (): readonly { readonly atSeconds: number; readonly pixelsPerFrame: number }[] =>
      pairs
        .filter(({ shifts }) => shifts.length >= leastFollowed)
        .map(({ atSeconds, shifts }) => {
          const lengths = shifts.map(({ x, y }) => Math.hypot(x, y));
          return { atSeconds, pixelsPerFrame: quantile(lengths, fastShare)! };
        })
        .sort((a, b) => b.pixelsPerFrame - a.pixelsPerFrame),
    result: (): Pick<Measurement, 'motion' | 'motionPixelsPerFrame'> | undefined => {
      // A frame shown twice amid motion says nothing of the motion; where all are the same, nothing moves.
      const moving = pairs.filter(({ repeated }) => !repeated);
      const counted = moving.length > 0 ? moving : pairs;
      const pixels = summariseShifts(counted.flatMap(({ shifts }) => shifts));
      const motion = summariseMotion(counted, { ...geometry, ...timing });
      return pixels && motion && { motionPixelsPerFrame: pixels, motion };
    },
  };
}

/** Copies a picture at the size that motion is looked for in, into an array that is used again and again. */
function planCopy(width: number): (frame: Frame) => Luma {
  const factor = motionFactor(width);
  let codes: Uint8Array | Uint16Array | undefined;
  let halved: Uint8Array | Uint16Array | undefined;
  return ({ width: columns, height, luma, lumaShrunkBy }) => {
    const picture = { width: columns, height, codes: luma };
    if (factor > 1 && lumaShrunkBy !== factor) {
      const half = halveToCodes(picture, halved);
      halved = half.codes;
      return shrinkLuma(half, factor / 2);
    }
    codes ??= luma.slice();
    codes.set(luma);
    return { ...picture, codes };
  };
}
