import type { Facts } from './recording.ts';

// How a camera moved and turned from one still to another, and how much of the ground a still shows.

/** Of latitude: the equator of WGS 84 divided by 360; up to 0.6% more than on a meridian. */
const metresPerDegree = 111_320;
/** Of the 24 mm x 36 mm frame, whose diagonal 35-mm equivalents refer to (CIPA DCG-001; from memory). */
const filmDiagonalMm = 43.27;

/**
 * Way between the places of two stills.
 * @returns metres, >= 0; undefined where a place is not known
 * @example wayMetres({ latitude: { value: 0, source: 'x' }, longitude: { value: 0, source: 'x' } }, { latitude: { value: 1e-3, source: 'x' }, longitude: { value: 0, source: 'x' } }) // 111.32
 */
export function wayMetres(from: Facts, to: Facts): number | undefined {
  const way = wayNorthEast(from, to);
  return way && Math.hypot(...way);
}

/**
 * The same as metres northwards and eastwards.
 * @example wayNorthEast({ latitude: { value: 0, source: 'x' }, longitude: { value: 0, source: 'x' } }, { latitude: { value: 0, source: 'x' }, longitude: { value: 1e-3, source: 'x' } }) // [0, 111.32]
 */
export function wayNorthEast(from: Facts, to: Facts): readonly [north: number, east: number] | undefined {
  if (!from.latitude || !to.latitude || !from.longitude || !to.longitude) return undefined;
  const east = ((to.longitude.value - from.longitude.value + 540) % 360) - 180;
  return [
    (to.latitude.value - from.latitude.value) * metresPerDegree,
    east * metresPerDegree * Math.cos((from.latitude.value * Math.PI) / 180),
  ];
}

/**
 * Turn between two directions.
 * @returns degrees, [-180, 180), + = clockwise; undefined where a heading is not known
 * @example turnDegrees({ headingDegrees: { value: 350, source: 'x' } }, { headingDegrees: { value: 20, source: 'x' } }) // 30
 */
export function turnDegrees(from: Facts, to: Facts): number | undefined {
  if (!from.headingDegrees || !to.headingDegrees) return undefined;
  return ((to.headingDegrees.value - from.headingDegrees.value + 540) % 360) - 180;
}

/**
 * Width of the ground that a camera sees that looks straight down.
 * @returns metres, > 0; undefined where height or angle of view is not known
 * @example viewMetres({ heightOverStartMetres: { value: 100, source: 'x' }, equivalentFocalLengthMm: { value: 24, source: 'x' }, width: { value: 4000, source: 'x' }, height: { value: 3000, source: 'x' } }) // 144.23
 */
export function viewMetres(facts: Facts): number | undefined {
  const { heightOverStartMetres, equivalentFocalLengthMm, width, height } = facts;
  if (!heightOverStartMetres || !equivalentFocalLengthMm || !width || !height) return undefined;
  if (heightOverStartMetres.value <= 0) return undefined;
  const frameMm = (filmDiagonalMm * width.value) / Math.hypot(width.value, height.value);
  return (heightOverStartMetres.value * frameMm) / equivalentFocalLengthMm.value;
}
