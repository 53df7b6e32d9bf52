import { median } from '../../domain/statistics.ts';
import type { TrackSample } from '../../domain/recording.ts';

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

/** Adds to each sample the first point that was taken while it held; points alone become samples themselves. */
export function joined(samples: readonly TrackSample[], points: readonly TrackSample[]): TrackSample[] {
  if (samples.length === 0) return heldUntilNext(points);
  const sorted = points.toSorted((a, b) => a.startSeconds - b.startSeconds);
  let next = 0;
  return samples.map((sample) => {
    while (sorted[next] !== undefined && sorted[next]!.startSeconds < sample.startSeconds) next++;
    const point = sorted[next];
    if (point === undefined || point.startSeconds >= sample.endSeconds) return sample;
    const { startSeconds, endSeconds } = sample;
    return { ...point, ...sample, startSeconds, endSeconds };
  });
}
