import { median } from '../domain/statistics.ts';
import type { FactValues, Refusal, Track, TrackSample } from '../domain/recording.ts';
import { sighting } from './sighting.ts';
import type { FactSighting, Reading } from './sighting.ts';
import { parseSubRip } from './subRip.ts';
import type { Cue } from './subRip.ts';
import { parseTelemetryPairs } from './telemetryPairs.ts';
import type { TelemetryContext } from './telemetryPairs.ts';

/** Reads SubRip text as telemetry; without a track where no cue holds any. */
export function parseTelemetryText(text: string, context: TelemetryContext): Reading {
  return trackFromCues(parseSubRip(text), context);
}

/** Turns cues into samples that follow each other, and those into facts of the whole clip. */
function trackFromCues(cues: readonly Cue[], context: TelemetryContext): Reading {
  const refusals: Refusal[] = [];
  const samples: TrackSample[] = [];
  for (const cue of cues.toSorted((a, b) => a.startSeconds - b.startSeconds)) {
    const read = parseTelemetryPairs(cue.text, context);
    refusals.push(...read.refusals);
    if (Object.keys(read.facts).length > 0) {
      samples.push({ startSeconds: cue.startSeconds, endSeconds: cue.endSeconds, ...read.facts });
    }
  }
  if (samples.length === 0) return { sightings: [], refusals: gathered(refusals) };
  const track: Track = { source: context.source, samples: withoutOverlap(samples) };
  return { sightings: clipWide(track), refusals: gathered(refusals), track };
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
  'focalLengthMm',
];
// A median of positions may be a place where the drone never was.
const firsts: readonly Sampled[] = ['latitude', 'longitude', 'altitudeMetres', 'headingDegrees'];

function clipWide(track: Track): FactSighting[] {
  const valuesOf = (name: Sampled): number[] =>
    track.samples.map((sample) => sample[name]).filter((value) => value !== undefined);
  const see = (name: Sampled, value: number | undefined, how: string): FactSighting[] =>
    value === undefined ? [] : [sighting(name, value, 'timed-track', `${track.source}, ${how}`)];
  return [
    ...medians.flatMap((name) => {
      const values = valuesOf(name);
      return see(
        name,
        median(values),
        values.length === 1 ? 'one sample' : `median of ${values.length} samples`,
      );
    }),
    ...firsts.flatMap((name) => see(name, valuesOf(name)[0], 'first sample')),
  ];
}

// A fault of the writer repeats in every cue; it is worth saying once.
const maxRefusals = 20;

function gathered(refusals: readonly Refusal[]): Refusal[] {
  const distinct = new Map(refusals.map((one) => [`${one.what}\0${one.raw}\0${one.reason}`, one]));
  return [...distinct.values()].slice(0, maxRefusals);
}
