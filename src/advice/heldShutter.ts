import type { Facts } from '../domain/recording.ts';

/*
 * The longest exposure of a still that does not smear: by the hand (or the hovering) that holds the camera, and by the
 * way that a flying camera covers in the meantime.
 */

/** Where nobody recorded the view of the lens: a slow shutter for a usual lens; common practice, no source. */
const usualSeconds = 1 / 60;

/** Times that a lens looks longer on a usual sensor than on 35 mm film, for long lenses; common practice, no source. */
const smallSensorFactor = 1.5;

/** Nobody holds a camera still for longer than this, however wide its lens; common practice, no source. */
const longestHeldSeconds = 1 / 15;

/** Width of a picture on 35 mm film. */
const filmWidthMm = 36;

/**
 * Share of the picture's width that smear may fill: the circle of confusion, a 1500th of the diagonal of 43.3 mm, against
 * the width of 36 mm; common practice, no source.
 */
const sharpFractionOfWidth = 43.3 / 1500 / filmWidthMm;

/**
 * The longest exposure that leaves a still sharp: the reciprocal of the focal length that has the same view on 35 mm film
 * (common practice, no source), less where ground speed and height say that the picture would move on by more than the
 * eye takes for sharp.
 * @returns seconds, > 0
 */
export function longestSharpSeconds(facts: Facts): number {
  return Math.min(heldSeconds(facts), overGroundSeconds(facts));
}

function heldSeconds({ equivalentFocalLengthMm: equivalent, focalLengthMm: own }: Facts): number {
  if (equivalent !== undefined) return Math.min(longestHeldSeconds, 1 / equivalent.value);
  return own === undefined ? usualSeconds : Math.min(usualSeconds, 1 / (smallSensorFactor * own.value));
}

function overGroundSeconds(facts: Facts): number {
  const speed = facts.groundSpeedMetresPerSecond?.value ?? 0;
  const height = facts.heightOverStartMetres?.value ?? 0;
  const equivalent = facts.equivalentFocalLengthMm?.value;
  if (speed <= 0 || height <= 0 || equivalent === undefined) return Infinity;
  const viewMetres = (height * filmWidthMm) / equivalent;
  return (sharpFractionOfWidth * viewMetres) / speed;
}
