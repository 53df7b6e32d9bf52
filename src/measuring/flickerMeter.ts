import { ev100, settingsOf } from '../domain/exposure.ts';
import type { Facts } from '../domain/recording.ts';
import { median } from '../domain/statistics.ts';
import type { Frame } from './decoding/frame.ts';
import { planLevelMeter } from './lightLevel.ts';

/** Consecutive frames whose level is compared: lamps at 50 or 60 Hz repeat within six frames at all usual rates. */
export const flickerFrames = 12;
const leastFrames = 8;

/**
 * How much the level of consecutive frames moves up and down, as a standard deviation in stops. What follows a
 * parabola is taken off: a pan into the light, an exposure that is being turned up; and so is a step or two: something
 * bright that comes into the picture. A level that swells once, as by a flash, does not flicker: 0. Undefined for too few
 * frames.
 */
export function flickerOf(allStops: readonly number[]): number | undefined {
  const levelsStops = allStops.filter((level) => level > blackStops);
  const count = levelsStops.length;
  if (count < leastFrames || isFade(levelsStops)) return undefined;
  if (turnsOf(levelsStops) < leastTurns) return 0;
  const middle = (count - 1) / 2;
  // Orthogonal on evenly spaced places: 1, t and t² less its mean.
  const steady = levelsStops.map(() => 1);
  const straight = levelsStops.map((_, i) => i - middle);
  const meanSquare = straight.reduce((sum, t) => sum + t * t, 0) / count;
  const bent = straight.map((t) => t * t - meanSquare);
  let left = withoutSteps(levelsStops);
  for (const shape of [steady, straight, bent]) left = without(left, shape);
  return Math.sqrt(left.reduce((sum, value) => sum + value * value, 0) / (count - 3));
}

/** Lamps that repeat within six frames turn three times in a dozen at the least. */
const leastTurns = 3;

function turnsOf(levelsStops: readonly number[]): number {
  const moves = levelsStops
    .slice(1)
    .map((level, i) => level - levelsStops[i]!)
    .filter((difference) => Math.abs(difference) > stillStops);
  return moves.slice(1).filter((move, i) => move * moves[i]! < 0).length;
}

/** Black has next to no light, and a codec's noise is a large part of it: BT.709 code 17 of 16 to 235 is 7.5 under grey. */
const blackStops = -7;
/** A dozen frames that change by so much in one direction: lamps go up and down, and no pan is so fast. */
const fadeStops = 2;
/** What is no change at all. */
const stillStops = 0.01;

/** Fades follow no parabola where their light is counted in stops: they come from next to nothing. */
function isFade(levelsStops: readonly number[]): boolean {
  if (Math.max(...levelsStops) - Math.min(...levelsStops) < fadeStops) return false;
  const changes = levelsStops.slice(1).map((level, i) => level - levelsStops[i]!);
  return changes.every((change) => change > -stillStops) || changes.every((change) => change < stillStops);
}

/** A difference so many times the usual one stands out as a step. Lamps make many alike, never one or two. */
const standsOut = 5;
const leastStepStops = 0.01;
const mostSteps = 2;

function withoutSteps(levelsStops: readonly number[]): readonly number[] {
  const differences = levelsStops.slice(1).map((level, i) => level - levelsStops[i]!);
  const usual = median(differences.map(Math.abs)) ?? 0;
  const isStep = (difference: number): boolean =>
    Math.abs(difference) > Math.max(leastStepStops, standsOut * usual);
  if (differences.filter(isStep).length > mostSteps) return levelsStops;
  let stepped = 0;
  return levelsStops.map((level, i) => {
    const difference = differences[i - 1] ?? 0;
    if (isStep(difference)) stepped += difference;
    return level - stepped;
  });
}

function without(values: readonly number[], shape: readonly number[]): readonly number[] {
  const along = values.reduce((sum, value, i) => sum + value * shape[i]!, 0);
  const share = along / shape.reduce((sum, value) => sum + value * value, 0);
  return values.map((value, i) => value - share * shape[i]!);
}

/** EV at ISO 100. Lamps light no scene so brightly: floodlit buildings are 3 to 5, bright streets 8 (exposure guides). */
const brighterThanLamps = 11;

/** False where the recorded settings prove daylight; a filter on the lens makes the scene brighter still. */
export function mayBeLampLight(facts: Facts): boolean {
  return (ev100(settingsOf(facts)) ?? 0) < brighterThanLamps;
}

/** Collects the level of consecutive frames at one place in a clip. */
export function planFlicker({ transfer, range }: Facts, bitDepth: number) {
  const level =
    transfer === undefined ? undefined : planLevelMeter(transfer.value, range?.value ?? 'narrow', bitDepth);
  const levels: number[] = [];
  return {
    frame: (frame: Frame): void => {
      const light = level?.(frame);
      if (light !== undefined) levels.push(light.levelStops);
    },
    /** In stops. */
    result: (): number | undefined => flickerOf(levels),
  };
}
