import { cellsOf } from './cells.ts';
import type { TileSpectrum } from './cells.ts';
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

export function measureTiles(pairs: readonly PairLevels[], level: number): LevelTiles {
  const tiles: TileSpectrum[] = [];
  let placed = 0;
  const perPair = Math.min(mostPerPair, Math.floor(tileBudget / Math.max(1, pairs.length)));
  pairs.forEach((levels, pairIndex) => {
    const { pair } = levels;
    const places = textured(pair.first, level, perPair);
    placed += places.length;
    if (places.length === 0) return;
    followTiles({ level, ...levels.at(level) }, places, (tile) => {
      const levelPixelsPerFrame = Math.hypot(tile.shift.x, tile.shift.y);
      const { atSeconds } = pair.first;
      tiles.push({ pairIndex, atSeconds, levelPixelsPerFrame, level, cells: cellsOf(tile) });
    });
  });
  return { level, tiles, placed };
}
