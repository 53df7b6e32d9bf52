// Lamps on alternating current pulse twice a cycle. An exposure that holds a whole number of pulses takes in the same
// light wherever it begins; so does any exposure where the pulses are a whole number to a frame (published by
// cinematographers as the flicker-free equation; a table for 50 and 60 Hz follows from it).

/** Rates are recorded as 29.97 or 30; closer than this two of them are the same. */
const sameShare = 0.0005;
/** Half a tenth of a pulse more or less is the rounding of the marks on a shutter dial: 1/50, 1/33, 1/60. */
const roundingPulses = 0.05;

interface LampsAndRate {
  readonly mainsHertz: number;
  readonly framesPerSecond: number;
}

/**
 * Exposures that fit inside a frame and hold a whole number of the light pulses of lamps on the mains.
 *
 * @returns seconds, shortest first
 * Source: t = n / (2 x mains frequency), the flicker-free equation of cinematography.
 * @example flickerSafeExposuresSeconds({ mainsHertz: 50, framesPerSecond: 25 }) // [0.01, 0.02, 0.03, 0.04]
 */
export function flickerSafeExposuresSeconds({
  mainsHertz,
  framesPerSecond,
}: LampsAndRate): readonly number[] {
  const most = Math.floor((2 * mainsHertz * (1 + sameShare)) / framesPerSecond);
  return Array.from({ length: most }, (_, i) => (i + 1) / (2 * mainsHertz));
}

/**
 * Whether lamps on the mains make consecutive frames differ: they do not where the pulses are a whole number to a
 * frame, or the exposure holds a whole number of them.
 *
 * @example flickersUnder({ exposureSeconds: 1 / 60, mainsHertz: 50, framesPerSecond: 24 }) // true
 */
export function flickersUnder({
  exposureSeconds,
  mainsHertz,
  framesPerSecond,
}: LampsAndRate & { readonly exposureSeconds: number }): boolean {
  const pulsesPerFrame = (2 * mainsHertz) / framesPerSecond;
  const perFrame = Math.round(pulsesPerFrame);
  if (perFrame >= 1 && Math.abs(pulsesPerFrame / perFrame - 1) < sameShare) return false;
  const pulses = 2 * mainsHertz * exposureSeconds;
  return Math.round(pulses) < 1 || Math.abs(pulses - Math.round(pulses)) > roundingPulses;
}
