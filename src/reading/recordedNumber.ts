import type { Refusal, TrackSample } from '../domain/recording.ts';

export type BoundedFact =
  Exclude<keyof TrackSample, 'startSeconds' | 'endSeconds'> | 'equivalentFocalLengthMm';

// Wide enough for every real recording: the bounds keep out damage, not taste. Common practice, no source, except
// where a line says more.
const bounds: Readonly<Record<BoundedFact, readonly [low: number, high: number]>> = {
  // A day.
  exposureSeconds: [1e-6, 86_400],
  fNumber: [0.5, 128],
  iso: [1, 1e7],
  exposureBiasStops: [-10, 10],
  meteredOffsetStops: [-20, 20],
  evAsReadStops: [-20, 20],
  // From candles to deep shade under a blue sky.
  whiteBalanceKelvin: [1000, 25_000],
  focalLengthMm: [0.5, 5000],
  equivalentFocalLengthMm: [1, 10_000],
  latitude: [-90, 90],
  longitude: [-180, 180],
  // Below every shore; above every balloon.
  altitudeMetres: [-500, 30_000],
  // Below the place of take-off on a mountain; as far up as balloons.
  heightOverStartMetres: [-5000, 30_000],
  // Half the speed of sound.
  groundSpeedMetresPerSecond: [0, 170],
  headingDegrees: [0, 360],
  cameraPitchDegrees: [-180, 180],
  rollingShutterSkewSeconds: [0, 1],
  recordedFilterStops: [0, 20],
};

/**
 * Why a number cannot be the fact that it claims to be; absent where it can.
 * @example implausible('exposureSeconds', 0.02) // undefined
 */
export function implausible(fact: BoundedFact, value: number): string | undefined {
  const [low, high] = bounds[fact];
  if (!Number.isFinite(value)) return 'is not a number';
  // Exif PhotographicSensitivity: 65535 means 65535 or more.
  if (fact === 'iso' && value === 65535) return 'stands for a value that did not fit';
  return value >= low && value <= high ? undefined : `is not between ${low} and ${high}`;
}

/** Whether a fact is one that can change from frame to frame, a plain number with bounds. */
export function isBounded(fact: string): fact is BoundedFact {
  return Object.hasOwn(bounds, fact);
}

/** A number as it was recorded. `raw` is what stood in the file; `source` says where. */
export interface RecordedNumber {
  readonly value: number;
  readonly raw: string;
  readonly source: string;
}

// Exif writers put 0 where a lens or a sensor told them nothing.
const zeroIsUnknown: ReadonlySet<BoundedFact> = new Set([
  'fNumber',
  'iso',
  'focalLengthMm',
  'equivalentFocalLengthMm',
]);

/**
 * Decides whether a recorded number can be true. 0/0 (not a number) is how Exif writers say "unknown".
 * @returns `value`: believed. `refusal`: found and not believed. Neither: the writer said that it does not know.
 * @example judgedNumber('exposureSeconds', { value: 4294967295, raw: '4294967295', source: 'EXIF' }).value // undefined
 */
export function judgedNumber(
  fact: BoundedFact,
  { value, raw, source }: RecordedNumber,
): { readonly value?: number; readonly refusal?: Refusal } {
  if (Number.isNaN(value) || (value === 0 && zeroIsUnknown.has(fact))) return {};
  const reason = implausible(fact, value);
  return reason === undefined ? { value } : { refusal: { what: fact, raw, source, reason } };
}

/**
 * The text of a number that was no text where it stood. What is divided by 0 is read as infinite.
 * @example rawText(1 / 0) // 'a fraction over 0'
 */
export function rawText(value: number): string {
  return Number.isFinite(value) ? String(value) : 'a fraction over 0';
}

export interface JudgedNumbers {
  readonly facts: { readonly [N in BoundedFact]?: number };
  readonly refusals: readonly Refusal[];
}

/**
 * Decides for each of several numbers of one source whether it can be true.
 * @example judgedNumbers({ iso: 100, fNumber: 0, latitude: 91 }, 'EXIF').facts // { iso: 100 }
 */
export function judgedNumbers(stated: JudgedNumbers['facts'], source: string): JudgedNumbers {
  const facts: Partial<Record<BoundedFact, number>> = {};
  const refusals: Refusal[] = [];
  for (const [fact, value] of Object.entries(stated) as [BoundedFact, number | undefined][]) {
    if (value === undefined) continue;
    const judged = judgedNumber(fact, { value, raw: rawText(value), source });
    if (judged.value !== undefined) facts[fact] = judged.value;
    if (judged.refusal !== undefined) refusals.push(judged.refusal);
  }
  return { facts, refusals };
}
