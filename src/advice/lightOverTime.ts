import type { Measurement } from '../domain/measurement.ts';
import type { Recording, TrackSample, TransferName } from '../domain/recording.ts';
import { median } from '../domain/statistics.ts';
import { lightOfLevel } from '../domain/transferCurves.ts';
import { stopsFromRatio } from '../domain/exposure.ts';

/** Brightness of the scene during a stretch of a clip, against the clip's own typical one; + = brighter. */
interface LightPiece {
  readonly startSeconds: number;
  readonly endSeconds: number;
  readonly stops: number;
}

/** The brightest and the darkest light that lasts, against the typical one. */
export interface LightRange {
  readonly brightestStops: number;
  readonly darkestStops: number;
}

/** Light that spans less than this is one light: marks are rounded by as much. */
export const steadyStops = 0.1;

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
    recording.facts.transfer?.value,
    meter.filter((reading) => reading !== undefined),
  );
  const settings = samples.map((sample) => settingStops(sample, recording));
  // One sample tells of a moment and not of a change.
  const overTime = samples.length < 2 ? [] : samples;
  const levelAt = stretchAt(levels);
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

/** What the meter read along with each sample, against its usual reading; undefined where it was not recorded. */
function meterOverTime(
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
function levelOverTime(
  measurement: Measurement | undefined,
  transfer: TransferName | undefined,
  meter: readonly LightPiece[],
): readonly LightPiece[] {
  const level = measurement?.levelStops?.median;
  if (!measurement || level === undefined) return [];
  const { samplingStepSeconds: step = 0 } = measurement;
  const frames = measurement.frames.flatMap(({ atSeconds, levelStops }) =>
    levelStops === undefined ? [] : [{ startSeconds: atSeconds, stops: lightOfLevel(levelStops, transfer) }],
  );
  const readAt = stretchAt(meter);
  const levelsAtUsualReading = frames.flatMap(({ startSeconds, stops }) => {
    const read = readAt(startSeconds);
    // A reading of a moment counts for the next frame that was looked at.
    const spoke = read && startSeconds < Math.max(read.endSeconds, read.startSeconds + step);
    return spoke ? stops - read.stops : [];
  });
  const usual = median(levelsAtUsualReading) ?? lightOfLevel(level, transfer);
  return frames.map(({ startSeconds, stops }, at) => ({
    startSeconds,
    endSeconds: frames[at + 1]?.startSeconds ?? startSeconds + step,
    stops: stops - usual,
  }));
}

/** What is shorter is gone before it is looked at: common practice, no source. */
const usuallyLastingSeconds = 2;

/** How long light must stay to count in a clip of this length: in a short one, half of it. */
function lastingSeconds(clipSeconds: number): number {
  return Math.min(usuallyLastingSeconds, clipSeconds / 2);
}

/** Keeps rounding of times from cutting a stretch short. */
const roundingSeconds = 1e-6;

/**
 * The brightest and darkest stretch that lasts.
 * @example lightRange([{ startSeconds: 0, endSeconds: 5, stops: 1 }, { startSeconds: 5, endSeconds: 6, stops: 4 }]) // { brightestStops: 1, darkestStops: 1 }
 */
export function lightRange(pieces: readonly LightPiece[]): LightRange {
  const length = pieces.reduce((sum, { startSeconds, endSeconds }) => sum + endSeconds - startSeconds, 0);
  if (length <= 0) return { brightestStops: 0, darkestStops: 0 };
  const lasting = lastingSeconds(length) - roundingSeconds;
  const sustained = (sign: 1 | -1) =>
    sign *
    highestLasting(
      pieces.map((piece) => sign * piece.stops),
      pieces,
      lasting,
    );
  return { brightestStops: sustained(1), darkestStops: sustained(-1) };
}

/** Largest of the least values over stretches of the wanted length. A track may hold 300,000 pieces: each is met once. */
function highestLasting(values: readonly number[], pieces: readonly LightPiece[], lasting: number): number {
  let highest = -Infinity;
  let covered = 0;
  let to = 0;
  // Places of the stretch whose value is below all that follow: the first holds the least (sliding-window minimum).
  const least: number[] = [];
  let first = 0;
  for (let from = 0; from < pieces.length; from += 1) {
    for (; to < pieces.length && (covered < lasting || to <= from); to += 1) {
      while (least.length > first && values[least.at(-1)!]! >= values[to]!) least.pop();
      least.push(to);
      covered += secondsOf(pieces[to]!);
    }
    if (covered < lasting) break;
    highest = Math.max(highest, values[least[first]!]!);
    if (least[first] === from) first += 1;
    covered -= secondsOf(pieces[from]!);
  }
  return highest;
}

const secondsOf = ({ startSeconds, endSeconds }: LightPiece): number => endSeconds - startSeconds;

/** Looks up which stretch began last by a time. Stretches and the times asked for ascend. */
function stretchAt<T extends { readonly startSeconds: number }>(
  stretches: readonly T[],
): (atSeconds: number) => T | undefined {
  let next = 0;
  return (atSeconds) => {
    while ((stretches[next]?.startSeconds ?? Infinity) <= atSeconds) next += 1;
    return stretches[next - 1];
  };
}
