import type { Judged } from '../../src/findings/finding.ts';
import { defaultLimits } from '../../src/domain/limits.ts';
import type { FrameMeasure, Measurement } from '../../src/domain/measurement.ts';
import type { Overexposure } from '../../src/domain/overexposure.ts';
import type { Facts, FactValues, Recording, TrackSample } from '../../src/domain/recording.ts';

/** A clip with the given facts, each from one source. */
export function clip(values: Partial<FactValues>, more: Partial<Recording> = {}): Recording {
  const facts = Object.fromEntries(
    Object.entries(values).map(([name, value]) => [name, { value, source: 'test' }]),
  ) as Facts;
  return {
    path: 'CLIP0001.MP4',
    kind: 'clip',
    sizeBytes: 1,
    facts,
    refusals: [],
    sidecars: [],
    ...more,
  };
}

/** A still that says which camera took it. */
export function still(values: Partial<FactValues>): Recording {
  return clip({ camera: 'Camera', ...values }, { kind: 'still', path: 'STILL0001.JPG' });
}

export function track(
  samples: readonly Omit<TrackSample, 'startSeconds' | 'endSeconds'>[],
): Partial<Recording> {
  return {
    track: {
      source: 'test',
      samples: samples.map((sample, index) => ({ startSeconds: index, endSeconds: index + 1, ...sample })),
    },
  };
}

/** Known to be over by so much, as where a darker frame of the same view says it. */
export function overBy(stops: number): Overexposure {
  return { leastStops: stops, lowStops: stops, middleStops: stops, highStops: stops, basis: 'darker-frames' };
}

export function measured(
  frames: readonly Partial<FrameMeasure>[],
  more: Partial<Measurement> = {},
): Measurement {
  const whole = frames.map((frame, index) => ({
    atSeconds: index,
    clippedFraction: 0,
    channelClippedFraction: 0,
    // In one piece.
    largestRegionFraction: frame.clippedFraction ?? 0,
    crushedFraction: 0,
    ...frame,
  }));
  const most = (name: 'clippedFraction' | 'channelClippedFraction' | 'crushedFraction') => {
    const sorted = whole.map((frame) => frame[name]).sort((a, b) => a - b);
    return { max: sorted.at(-1) ?? 0, median: sorted[Math.floor(sorted.length / 2)] ?? 0 };
  };
  return {
    framesMeasured: whole.length,
    frames: whole,
    ceiling: { signal: 1, basis: 'nominal' },
    clippedFraction: most('clippedFraction'),
    channelClippedFraction: most('channelClippedFraction'),
    crushedFraction: most('crushedFraction'),
    clippedSpans: [],
    ...more,
  };
}

export function judged(recording: Recording, more: Partial<Judged> = {}): Judged {
  return { recording, limits: defaultLimits, ...more };
}

export const fps = (numerator: number, denominator = 1) => ({ numerator, denominator });
