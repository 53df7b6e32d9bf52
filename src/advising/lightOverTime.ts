import type { Measurement } from '../domain/measurement.ts';
import type { Recording, TrackSample } from '../domain/recording.ts';
import { median } from '../domain/statistics.ts';
import { stopsFromRatio } from '../domain/stops.ts';

/** Brightness of the scene during a stretch of a clip, against the clip's own typical one; + = brighter. */
export interface LightPiece {
  readonly startSeconds: number;
  readonly endSeconds: number;
  readonly stops: number;
}

/** The brightest and the darkest light that lasts, against the typical one. */
export interface LightRange {
  readonly brightestStops: number;
  readonly darkestStops: number;
}

/**
 * Seconds. What is shorter is gone before it is looked at: common practice, no source. In a clip of less than twice
 * that, half of its length counts.
 */
const lastingSeconds = 2;

/** Keeps rounding of times from cutting a stretch short. */
const roundingSeconds = 1e-6;

/**
 * How the light on the scene changed during a clip: by the settings recorded over time with the meter where it was
 * recorded along; where it was not, by the level of the picture too. Empty where nothing was recorded over time.
 */
export function lightOverTime(
  recording: Recording,
  measurement: Measurement | undefined,
): readonly LightPiece[] {
  const samples = (recording.track?.samples ?? []).filter(hasSetting);
  const levels = levelPieces(measurement);
  const usualMeter =
    recording.facts.meteredOffsetStops?.value ??
    median(samples.flatMap(({ meteredOffsetStops }) => meteredOffsetStops ?? []));
  if (samples.length < 2) return samples.some(hasMeter) ? [] : levels;
  return samples.map((sample) => ({
    startSeconds: sample.startSeconds,
    endSeconds: sample.endSeconds,
    stops: settingStops(sample, recording) + offsetStops(sample, usualMeter, levels),
  }));
}

/**
 * The brightest and darkest stretch that lasts.
 *
 * @example lightRange([{ startSeconds: 0, endSeconds: 5, stops: 1 }, { startSeconds: 5, endSeconds: 6, stops: 4 }]) // { brightestStops: 1, darkestStops: 1 }
 */
export function lightRange(pieces: readonly LightPiece[]): LightRange {
  const length = pieces.reduce((sum, { startSeconds, endSeconds }) => sum + endSeconds - startSeconds, 0);
  if (length <= 0) return { brightestStops: 0, darkestStops: 0 };
  const lasting = Math.min(lastingSeconds, length / 2) - roundingSeconds;
  const sustained = (sign: 1 | -1) =>
    sign *
    highestLasting(
      pieces.map((piece) => sign * piece.stops),
      pieces,
      lasting,
    );
  return { brightestStops: sustained(1), darkestStops: sustained(-1) };
}

/** Largest of the least values over stretches of the wanted length. */
function highestLasting(values: readonly number[], pieces: readonly LightPiece[], lasting: number): number {
  let highest = -Infinity;
  for (let from = 0; from < pieces.length; from += 1) {
    let least = Infinity;
    let covered = 0;
    for (let at = from; at < pieces.length && covered < lasting && least > highest; at += 1) {
      least = Math.min(least, values[at]!);
      covered += pieces[at]!.endSeconds - pieces[at]!.startSeconds;
    }
    if (covered >= lasting) highest = Math.max(highest, least);
  }
  return highest;
}

function hasSetting({ exposureSeconds, iso, fNumber, meteredOffsetStops }: TrackSample): boolean {
  return [exposureSeconds, iso, fNumber, meteredOffsetStops].some((value) => value !== undefined);
}

function hasMeter({ meteredOffsetStops }: TrackSample): boolean {
  return meteredOffsetStops !== undefined;
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

function offsetStops(
  sample: TrackSample,
  usualMeter: number | undefined,
  levels: readonly LightPiece[],
): number {
  if (usualMeter !== undefined) return (sample.meteredOffsetStops ?? usualMeter) - usualMeter;
  const middle = (sample.startSeconds + sample.endSeconds) / 2;
  return levels.findLast(({ startSeconds }) => startSeconds <= middle)?.stops ?? 0;
}

function levelPieces(measurement: Measurement | undefined): readonly LightPiece[] {
  const usual = measurement?.levelStops?.median;
  if (!measurement || usual === undefined) return [];
  const frames = measurement.frames.filter(({ levelStops }) => levelStops !== undefined);
  return frames.map(({ atSeconds, levelStops = usual }, index) => ({
    startSeconds: atSeconds,
    endSeconds: frames[index + 1]?.atSeconds ?? atSeconds + (measurement.samplingStepSeconds ?? 0),
    stops: levelStops - usual,
  }));
}
