import type { Measurement } from '../domain/measurement.ts';
import type { Recording, TrackSample } from '../domain/recording.ts';
import { median } from '../domain/statistics.ts';
import { inEffect } from './inEffect.ts';
import type { LightPiece } from './lightRange.ts';

/** What the meter read along with each sample, against its usual reading; undefined where it was not recorded. */
export function meterOverTime(
  samples: readonly TrackSample[],
  { facts }: Recording,
): readonly (LightPiece | undefined)[] {
  const readings = samples.flatMap(({ meteredOffsetStops }) => meteredOffsetStops ?? []);
  const usual = facts.meteredOffsetStops?.value ?? median(readings);
  return samples.map(({ startSeconds, endSeconds, meteredOffsetStops: read }) =>
    read === undefined || usual === undefined ? undefined : { startSeconds, endSeconds, stops: read - usual },
  );
}

/**
 * The level of the picture from frame to frame, against the level that it had at the meter's usual reading; where no
 * meter was recorded over time, against that of the typical frame.
 */
export function levelOverTime(
  measurement: Measurement | undefined,
  meter: readonly LightPiece[],
): readonly LightPiece[] {
  const typical = measurement?.levelStops?.median;
  if (!measurement || typical === undefined) return [];
  const { samplingStepSeconds: step = 0 } = measurement;
  const frames = measurement.frames.flatMap(({ atSeconds, levelStops }) =>
    levelStops === undefined ? [] : [{ startSeconds: atSeconds, stops: levelStops }],
  );
  const readAt = inEffect(meter);
  const levelsAtUsualReading = frames.flatMap(({ startSeconds, stops }) => {
    const read = readAt(startSeconds);
    // A reading of a moment counts for the next frame that was looked at.
    const spoke = read && startSeconds < Math.max(read.endSeconds, read.startSeconds + step);
    return spoke ? stops - read.stops : [];
  });
  const usual = median(levelsAtUsualReading) ?? typical;
  return frames.map(({ startSeconds, stops }, at) => ({
    startSeconds,
    endSeconds: frames[at + 1]?.startSeconds ?? startSeconds + step,
    stops: stops - usual,
  }));
}
