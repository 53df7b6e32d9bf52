import type { FactName, FactValues, Refusal, Track, TrackSample } from '../../domain/recording.ts';
import { median } from '../../domain/statistics.ts';
import { optionalSighting, type FactSighting, type Reading } from '../sighting.ts';
import type { TelemetryContext } from '../telemetryPairs.ts';

/** The bytes of one metadata sample and when they hold, in seconds from the first frame. */
export interface TimedBytes {
  readonly startSeconds: number;
  readonly endSeconds: number;
  readonly bytes: Buffer;
}

/** Turns what a timed carrier holds, in any order, into samples that follow each other, and those into facts. */
export function trackReading(
  recorded: readonly TrackSample[],
  refusals: readonly Refusal[],
  context: TelemetryContext,
): Reading {
  const sorted = recorded.toSorted((a, b) => a.startSeconds - b.startSeconds);
  const within = sorted.flatMap((sample) => inside(sample, context) ?? []);
  const outside = recorded.length - within.length;
  const samples = within.flatMap((sample) => (hasNoFix(sample) ? (withoutPlace(sample) ?? []) : sample));
  const all = [...refusals];
  const { source } = context;
  if (outside > 0) {
    const reason = 'lie outside the time that the clip lasts';
    all.push({ what: 'telemetry', raw: `${outside} of ${recorded.length} samples`, source, reason });
  }
  if (within.some(hasNoFix))
    all.push({ what: 'latitude', raw: '0, 0', source, reason: 'receivers without a fix write 0, 0' });
  if (samples.length === 0) return { sightings: [], refusals: gathered(all) };
  const track: Track = { source, samples: withoutOverlap(samples) };
  return { sightings: clipWide(track), refusals: gathered(all), track };
}

function inside(sample: TrackSample, { durationSeconds }: TelemetryContext): TrackSample | undefined {
  const startSeconds = Math.max(0, sample.startSeconds);
  const endSeconds = Math.min(durationSeconds ?? Infinity, sample.endSeconds);
  if (sample.startSeconds >= 0 && endSeconds === sample.endSeconds) return sample;
  return startSeconds < endSeconds ? { ...sample, startSeconds, endSeconds } : undefined;
}

/** Receivers that do not know where they are write 0, 0; a flight there is less likely. */
function hasNoFix({ latitude, longitude }: TrackSample): boolean {
  return latitude === 0 && longitude === 0;
}

const ofPlace: ReadonlySet<string> = new Set(['latitude', 'longitude', 'altitudeMetres']);

/** Undefined where the place was all that it held. */
function withoutPlace({ startSeconds, endSeconds, ...facts }: TrackSample): TrackSample | undefined {
  const others = Object.entries(facts).filter(([name]) => !ofPlace.has(name));
  return others.length === 0 ? undefined : { startSeconds, endSeconds, ...Object.fromEntries(others) };
}

/** A sample ends where the next begins: of two that overlap, the later one is the newer knowledge. */
function withoutOverlap(samples: readonly TrackSample[]): TrackSample[] {
  return samples.map((sample, at) => {
    const next = samples[at + 1]?.startSeconds ?? Infinity;
    return next < sample.endSeconds ? { ...sample, endSeconds: next } : sample;
  });
}

type Sampled = Exclude<keyof TrackSample, 'startSeconds' | 'endSeconds'> & keyof FactValues;

const medians: readonly Sampled[] = [
  'exposureSeconds',
  'fNumber',
  'iso',
  'exposureBiasStops',
  'meteredOffsetStops',
  'evAsReadStops',
  'focalLengthMm',
  'heightOverStartMetres',
  'groundSpeedMetresPerSecond',
  'cameraPitchDegrees',
];
// A median of positions may be a place where the drone never was.
const firsts: readonly Sampled[] = ['latitude', 'longitude', 'altitudeMetres', 'headingDegrees'];

function clipWide(track: Track): FactSighting[] {
  const valuesOf = (name: Sampled): number[] =>
    track.samples.map((sample) => sample[name]).filter((value) => value !== undefined);
  const see = <N extends FactName>(name: N, value: FactValues[N] | undefined, how: string): FactSighting[] =>
    optionalSighting(name, value, 'timed-track', `${track.source}, ${how}`);
  return [
    ...medians.flatMap((name) => {
      const values = valuesOf(name);
      return see(
        name,
        median(values),
        values.length === 1 ? 'one sample' : `median of ${values.length} samples`,
      );
    }),
    ...see('whiteBalance', kelvinText(track.samples), 'median'),
    ...firsts.flatMap((name) => see(name, valuesOf(name)[0], 'first sample')),
  ];
}

function kelvinText(samples: readonly TrackSample[]): string | undefined {
  const kelvin = median(samples.flatMap(({ whiteBalanceKelvin }) => whiteBalanceKelvin ?? []));
  return kelvin === undefined ? undefined : `${Math.round(kelvin)} K`;
}

// Before the same ones are put together: a damaged track can refuse a million values.
const mostGathered = 1000;

/** Adds refusals to those of a track, as long as there are not far too many. */
export function keepRefusals(gathered: Refusal[], more: readonly Refusal[]): void {
  if (gathered.length < mostGathered) gathered.push(...more);
}

// A fault of the writer repeats in every sample; it is worth saying once.
const maxRefusals = 20;

function gathered(refusals: readonly Refusal[]): Refusal[] {
  const distinct = new Map(
    refusals.map((refusal) => [`${refusal.what}\0${refusal.raw}\0${refusal.reason}`, refusal]),
  );
  return [...distinct.values()].slice(0, maxRefusals);
}

// Carriers that write a value with each frame say when it was taken, not how long it holds.

// A longer pause than this many usual steps is a gap: the camera recorded nothing for the frames in it.
const gapSteps = 1.5;

/** Lets each sample hold until the next one, or for one usual step where the next is further away. Sorted by start. */
export function heldUntilNext(samples: readonly TrackSample[]): TrackSample[] {
  const sorted = samples.toSorted((a, b) => a.startSeconds - b.startSeconds);
  const steps = sorted.slice(1).map(({ startSeconds }, at) => startSeconds - sorted[at]!.startSeconds);
  const usual = median(steps.filter((step) => step > 0));
  if (usual === undefined) return sorted;
  return sorted.map((sample, at) => {
    const step = steps[at] ?? usual;
    return { ...sample, endSeconds: sample.startSeconds + (step > gapSteps * usual ? usual : step) };
  });
}
