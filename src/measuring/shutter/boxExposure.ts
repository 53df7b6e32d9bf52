import { referenceBins, referenceCycles } from './reference.ts';
import { stepRatio } from './pooling.ts';
import { tileSize } from './placement.ts';

/**
 * sin²(πx) / (πx)²: the share of power, [0, 1], that an exposure of even strength leaves at x cycles per exposure.
 * @example sincSquared(0.5) // 0.40528
 */
export function sincSquared(x: number): number {
  if (Math.abs(x) < 1e-6) return 1;
  const angle = Math.PI * x;
  return (Math.sin(angle) / angle) ** 2;
}

/** Attenuation by a box-shaped exposure as the tiles show it: smeared by their window and by the step of q. */
export function boxAttenuation(
  openFraction: number,
  cyclesPerFrame: number,
  levelPixelsPerFrame: number,
): number {
  // Centre and ends of a step of q.
  const spread = (stepRatio - 1) / 3;
  let sum = 0;
  for (const offset of [-spread, 0, spread])
    sum += windowed(openFraction, cyclesPerFrame * (1 + offset), levelPixelsPerFrame / tileSize);
  return sum / 3;
}

/** Mean attenuation of what was taken for unblurred: the reference itself is a little blurred. */
export function referenceAttenuation(openFraction: number, levelPixelsPerFrame: number): number {
  const bin = levelPixelsPerFrame / tileSize;
  const limit = Math.max(referenceCycles, referenceBins * bin);
  let sum = 0;
  for (let i = 0; i < 6; i++) sum += windowed(openFraction, (limit * (i + 0.5)) / 6, bin);
  return sum / 6;
}

// A Hann window spreads power over the neighbouring frequencies: 2/3 stays, 1/6 goes to either side.
function windowed(openFraction: number, cycles: number, bin: number): number {
  const beside =
    sincSquared(openFraction * (cycles + bin)) + sincSquared(openFraction * Math.abs(cycles - bin));
  return (2 / 3) * sincSquared(openFraction * cycles) + beside / 6;
}
