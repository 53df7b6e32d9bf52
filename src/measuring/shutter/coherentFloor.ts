import { bandCentre, type TileSpectrum } from './cells.ts';

// A codec that predicts a frame from the one before carries grain and rounding along with the content, so they do not
// fall out of the cross spectrum. They are about equally strong at all frequencies; what is left at the finest ones
// along the motion, where blur and lens leave least, is therefore the most they can be.

const lowestFrequency = 0.33;
const leastCosSquared = 0.5;

/** Upper bound on the cross power that is no scene detail, per frequency. */
export function coherentFloor({ cells }: TileSpectrum): number {
  let [sum, count] = [0, 0];
  for (let i = 0; i < cells.band.length; i++) {
    if (bandCentre(cells.band[i]!) < lowestFrequency || cells.cosSquared[i]! < leastCosSquared) continue;
    sum += cells.count[i]! * cells.cross[i]!;
    count += cells.count[i]!;
  }
  return count === 0 ? 0 : Math.max(0, sum / count);
}
