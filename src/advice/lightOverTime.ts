import type { Measurement } from '../domain/measurement.ts';
import type { Recording, TrackSample } from '../domain/recording.ts';
import { median } from '../domain/statistics.ts';
import { stopsFromRatio } from '../domain/stops.ts';
import { levelOverTime, meterOverTime } from './exposureOverTime.ts';
import { inEffect } from './inEffect.ts';
import { lastingSeconds, steadyStops, type LightPiece } from './lightRange.ts';

type Stretch = Omit<LightPiece, 'stops'>;

/**
 * How the light on the scene changed during a clip: by the settings recorded over time with the meter where it was
 * recorded along, else with the level of the picture. While nothing was recorded the level alone tells, unless the
 * settings moved elsewhere: then nobody knows what they were. Empty where nothing was recorded or measured over time.
 */
export function lightOverTime(
  recording: Recording,
  measurement: Measurement | undefined,
): readonly LightPiece[] {
  const samples = (recording.track?.samples ?? []).filter(hasSetting);
  const meter = meterOverTime(samples, recording);
  const levels = levelOverTime(
    measurement,
    meter.filter((reading) => reading !== undefined),
  );
  const settings = samples.map((sample) => settingStops(sample, recording));
  // One sample tells of a moment and not of a change.
  const overTime = samples.length < 2 ? [] : samples;
  const levelAt = inEffect(levels);
  const recorded = overTime.map(({ startSeconds, endSeconds }, at) => {
    const exposure = meter[at] ?? levelAt((startSeconds + endSeconds) / 2);
    return { startSeconds, endSeconds, stops: settings[at]! + (exposure?.stops ?? 0) };
  });
  return [...recorded, ...unrecorded(overTime, levels, settings)].toSorted(
    (a, b) => a.startSeconds - b.startSeconds,
  );
}

function hasSetting({ exposureSeconds, iso, fNumber, meteredOffsetStops }: TrackSample): boolean {
  return [exposureSeconds, iso, fNumber, meteredOffsetStops].some((value) => value !== undefined);
}

/** A shorter time, a lower ISO, a smaller opening than usual: the scene was brighter by as much. */
function settingStops(sample: TrackSample, { facts }: Recording): number {
  const against = (usual: number | undefined, now: number | undefined) =>
    usual === undefined || now === undefined ? 0 : stopsFromRatio(usual / now);
  return (
    against(facts.exposureSeconds?.value, sample.exposureSeconds) +
    against(facts.iso?.value, sample.iso) -
    2 * against(facts.fNumber?.value, sample.fNumber) +
    (sample.recordedFilterStops ?? facts.recordedFilterStops?.value ?? 0) -
    (facts.recordedFilterStops?.value ?? 0)
  );
}

/** The light while nothing was recorded, where the settings did not move as long as they were. */
function unrecorded(
  recorded: readonly Stretch[],
  levels: readonly LightPiece[],
  settings: readonly number[],
): readonly LightPiece[] {
  const usual = median(settings) ?? 0;
  if (settings.some((stops) => Math.abs(stops - usual) > steadyStops)) return [];
  return holes(recorded, levels).flatMap((hole) =>
    levels
      .map(({ startSeconds, endSeconds, stops }) => ({
        startSeconds: Math.max(startSeconds, hole.startSeconds),
        endSeconds: Math.min(endSeconds, hole.endSeconds),
        stops: usual + stops,
      }))
      .filter(({ startSeconds, endSeconds }) => startSeconds < endSeconds),
  );
}

/** Stretches of the measured clip in which nothing was recorded for so long that light could last. */
function holes(recorded: readonly Stretch[], levels: readonly LightPiece[]): readonly Stretch[] {
  const [clipStart, clipEnd] = [levels[0]?.startSeconds ?? 0, levels.at(-1)?.endSeconds ?? 0];
  const ends = [clipStart, ...recorded.map(({ endSeconds }) => endSeconds)];
  const starts = [...recorded.map(({ startSeconds }) => startSeconds), clipEnd];
  const least = lastingSeconds(clipEnd - clipStart);
  return ends
    .map((startSeconds, at) => ({ startSeconds, endSeconds: starts[at]! }))
    .filter(
      ({ startSeconds, endSeconds }) => endSeconds > startSeconds && endSeconds - startSeconds >= least,
    );
}
