import { cellsOf, type TileSpectrum } from './cells.ts';
import type { PairLevels } from './level.ts';
import { textured } from './placement.ts';
import { followTiles } from './tileMotion.ts';

/** What the tiles of all pairs say at one level. */
export interface LevelTiles {
  readonly level: number;
  readonly tiles: readonly TileSpectrum[];
  /** Places with texture enough; more than there are tiles where some were not found again. */
  readonly placed: number;
}

/** Tiles looked at in all pairs together: a picture costs some 8 ms of one core for each. */
const tileBudget = 80;
const mostPerPair = 28;

/** @param known what was measured at other levels: where to look first */
export function measureTiles(
  pairs: readonly PairLevels[],
  level: number,
  known: readonly TileSpectrum[] = [],
): LevelTiles {
  const tiles: TileSpectrum[] = [];
  let placed = 0;
  const perPair = Math.min(mostPerPair, Math.floor(tileBudget / Math.max(1, pairs.length)));
  pairs.forEach((levels, pairIndex) => {
    const { atSeconds } = levels.pair.first;
    const places = textured(levels.pair.first, level, perPair);
    placed += places.length;
    if (places.length === 0) return;
    const seen = known.filter((tile) => tile.pairIndex === pairIndex);
    followTiles({ level, ...levels.at(level), seen }, places, (tile) => {
      const moved = { x: tile.shift.x * 2 ** level, y: tile.shift.y * 2 ** level };
      const levelPixelsPerFrame = Math.hypot(tile.shift.x, tile.shift.y);
      const { x, y } = tile.place;
      const cells = cellsOf(tile);
      tiles.push({ pairIndex, atSeconds, place: { x, y }, moved, levelPixelsPerFrame, level, cells });
    });
  });
  return { level, tiles, placed };
}
