import { median } from '../../domain/statistics.ts';
import type { Shift } from '../motion/phaseCorrelation.ts';
import { followTiles, textured, type FollowedTile } from './followTiles.ts';
import { tileSize, type PairLevels } from './framePair.ts';

// A box-shaped exposure that is open for the share a of the frame time smears a displacement D over a·D, which
// multiplies the power spectrum at frequency f by sinc²(a · f·D). Counted in q = f·D, cycles per frame, the zeros of
// every tile stand at 1/a, 2/a, …, whatever its speed and direction.

/** Radial bands, evenly spaced in the logarithm of frequency. */
export const bandCount = 12;
const lowestFrequency = 0.03;
const highestFrequency = 0.42;

/** Frequencies of a tile that share a radial band and a distance along the motion, one entry each. */
interface Cells {
  readonly band: Uint8Array;
  readonly count: Float64Array;
  /** Mean frequency along the motion, cycles per pixel of the level. */
  readonly along: Float64Array;
  /** Mean squared cosine between frequency and motion. */
  readonly cosSquared: Float64Array;
  readonly power: Float64Array;
  /**
   * Mean real part of the cross spectrum, the displacement undone. Sensor noise differs from frame to frame and falls
   * out of it, which leaves the zeros deep.
   */
  readonly cross: Float64Array;
}

/** One tile of one pair: how it moved and what is left of its detail along and across the motion. */
export interface TileSpectrum {
  readonly pairIndex: number;
  readonly atSeconds: number;
  /** Its centre, and how far it moved to the next frame, both in pixels as recorded. */
  readonly place: Shift;
  readonly moved: Shift;
  /** Speed in pixels of the analysed level. */
  readonly levelPixelsPerFrame: number;
  readonly level: number;
  readonly cells: Cells;
}

export function bandCentre(band: number): number {
  return lowestFrequency * (highestFrequency / lowestFrequency) ** ((band + 0.5) / bandCount);
}

const alongBins = tileSize / 2;
const bandOfRadius = Int8Array.from({ length: tileSize * tileSize }, (_, squared) => {
  const frequency = Math.sqrt(squared) / tileSize;
  if (frequency < lowestFrequency || frequency >= highestFrequency) return -1;
  return Math.floor(
    (Math.log(frequency / lowestFrequency) / Math.log(highestFrequency / lowestFrequency)) * bandCount,
  );
});

/** Sums a followed tile's spectra into cells. */
function cellsOf({ shift, residual, spectrum }: FollowedTile): Cells {
  const speed = Math.hypot(shift.x, shift.y);
  const [ux, uy] = speed > 1e-6 ? [shift.x / speed, shift.y / speed] : [1, 0];
  const [count, along, cosSquared, power, cross] = Array.from(
    { length: 5 },
    () => new Float64Array(bandCount * alongBins),
  ) as [Float64Array, Float64Array, Float64Array, Float64Array, Float64Array];
  const reach = Math.floor(highestFrequency * tileSize);
  for (let ky = 0; ky <= reach; ky++) {
    for (let kx = ky === 0 ? 1 : -reach; kx <= reach; kx++) {
      const squared = kx * kx + ky * ky;
      const band = bandOfRadius[squared]!;
      if (band < 0) continue;
      const at = ky * tileSize + ((kx + tileSize) % tileSize);
      const bin = Math.abs(kx * ux + ky * uy);
      const phase = (2 * Math.PI * (kx * residual.x + ky * residual.y)) / tileSize;
      const cell = band * alongBins + Math.min(alongBins - 1, Math.floor(bin));
      count[cell]! += 1;
      along[cell]! += bin / tileSize;
      cosSquared[cell]! += (bin * bin) / squared;
      power[cell]! += spectrum.power[at]!;
      cross[cell]! += spectrum.real[at]! * Math.cos(phase) - spectrum.imaginary[at]! * Math.sin(phase);
    }
  }
  return filled(count, [along, cosSquared, power, cross]);
}

function filled(count: Float64Array, sums: readonly Float64Array[]): Cells {
  const used = [...count.keys()].filter((cell) => count[cell]! > 0);
  const [along, cosSquared, power, cross] = sums.map((sum) =>
    Float64Array.from(used, (cell) => sum[cell]! / count[cell]!),
  ) as [Float64Array, Float64Array, Float64Array, Float64Array];
  return {
    band: Uint8Array.from(used, (cell) => Math.floor(cell / alongBins)),
    count: Float64Array.from(used, (cell) => count[cell]!),
    along,
    cosSquared,
    power,
    cross,
  };
}

/** What the tiles of all pairs say at one level. */
export interface LevelTiles {
  readonly level: number;
  readonly tiles: readonly TileSpectrum[];
  /** Places with texture enough; more than there are tiles where some were not found again. */
  readonly placed: number;
  /** Median change of a place's motion from one pair to the next, as a share of it; undefined where no pair follows another. */
  readonly unevenness?: number;
}

/** Tiles looked at in all pairs together: a picture costs some 8 ms of one core for each. */
const tileBudget = 96;
const mostPerPair = 28;
/** Places among which the fastest are looked for: some 1 ms for each. */
const mostPlaces = 60;

/** `otherLevels`: what was measured there tells where to look first. */
export function measureTiles(
  pairs: readonly PairLevels[],
  level: number,
  otherLevels: readonly TileSpectrum[] = [],
): LevelTiles {
  const tiles: TileSpectrum[] = [];
  let placed = 0;
  const most = Math.min(mostPerPair, Math.floor(tileBudget / Math.max(1, pairs.length)));
  pairs.forEach((levels, pairIndex) => {
    const { atSeconds } = levels.pair.first;
    const places = textured(levels.pair.first, level, mostPlaces);
    placed += Math.min(most, places.length);
    if (places.length === 0) return;
    const followed = otherLevels.filter((tile) => tile.pairIndex === pairIndex);
    const visit = (tile: FollowedTile): void => {
      const { place, shift } = tile;
      const moved = { x: shift.x * 2 ** level, y: shift.y * 2 ** level };
      const levelPixelsPerFrame = Math.hypot(shift.x, shift.y);
      tiles.push({ pairIndex, atSeconds, place, moved, levelPixelsPerFrame, level, cells: cellsOf(tile) });
    };
    followTiles({ level, ...levels.at(level), followed }, places, { most, visit });
  });
  return { level, tiles, placed, unevenness: unevennessOf(pairs, tiles) };
}

function unevennessOf(pairs: readonly PairLevels[], tiles: readonly TileSpectrum[]): number | undefined {
  const changes = tiles.flatMap(({ pairIndex, place, moved }) => {
    if (pairs[pairIndex]!.pair.second !== pairs[pairIndex + 1]?.pair.first) return [];
    const next = tiles.find(
      (tile) => tile.pairIndex === pairIndex + 1 && tile.place.x === place.x && tile.place.y === place.y,
    )?.moved;
    if (next === undefined) return [];
    const both = Math.hypot(next.x, next.y) + Math.hypot(moved.x, moved.y);
    // What stands still, as a landing gear does, moves evenly or not: nobody can tell.
    return both === 0 ? [] : (2 * Math.hypot(next.x - moved.x, next.y - moved.y)) / both;
  });
  return median(changes);
}
