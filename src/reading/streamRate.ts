import {
  frameRateFromNumber,
  framesPerSecond,
  nominalRate,
  parseFrameRate,
  type FrameRate,
} from '../domain/frameRate.ts';
import { median } from '../domain/statistics.ts';
import { emptyReading, sighting, type Reading } from './sighting.ts';

// What is known about the frame rate of a stream. A container does not record a rate: it records times, and the
// probing program makes two numbers of them. The average is frames over duration: it drifts from the rate of the
// camera wherever frames were dropped, wherever the last one is held, and it goes absurd (1000, 30000) where a
// container's time base is mistaken for a rate. The "real" base rate is the smallest step that fits all times: exact
// where the rate is even, a multiple where it is not. Where the two agree they are right. Where they do not, the
// times themselves must be looked at.

/** Frame rates outside these are faults: a slow series is no clip, and no drone records faster. */
export const plausibleRate = { low: 1, high: 2000 } as const;

/** What the probing program says about one stream's rate. */
export interface StatedRate {
  /** A rate that the camera wrote as one. */
  readonly recorded?: FrameRate;
  readonly average: string;
  readonly base: string;
  readonly frameCount?: number;
  readonly durationSeconds?: number;
}

// Half a frame in a hundred: the held last frame of a clip of a few seconds.
const agreeingFraction = 0.005;

/** The rate where all that is stated agrees; undefined where the packet times must decide. */
export function statedRate(stated: StatedRate): FrameRate | undefined {
  if (stated.recorded !== undefined) return stated.recorded;
  const average = parseFrameRate(stated.average);
  const base = parseFrameRate(stated.base);
  if (average === undefined || !isPlausible(framesPerSecond(average))) return undefined;
  if (base === undefined || !isClose(framesPerSecond(average), framesPerSecond(base))) return undefined;
  const { frameCount, durationSeconds } = stated;
  if (frameCount !== undefined && durationSeconds !== undefined && frameCount > 0 && durationSeconds > 0) {
    // A short clip can miss by one frame at either end.
    const slack = 2 / frameCount;
    if (Math.abs(frameCount / durationSeconds / framesPerSecond(average) - 1) > agreeingFraction + slack)
      return undefined;
  }
  // 2997/100 stands for 30000/1001; a rate that is no usual one stays as it is.
  return nominalRate(framesPerSecond(base)) ?? nominalRate(framesPerSecond(average)) ?? average;
}

/**
 * The rate where too few packet times could be read to decide anything, as in a clip that was cut off: the base
 * rate, if the average is absent or no different, and it is one that cameras have.
 */
export function rateOfHeader(stated: StatedRate): FrameRate | undefined {
  const average = parseFrameRate(stated.average);
  const base = parseFrameRate(stated.base);
  if (base === undefined) return undefined;
  if (average !== undefined && !isClose(framesPerSecond(average), framesPerSecond(base))) return undefined;
  return nominalRate(framesPerSecond(base));
}

function isPlausible(rate: number): boolean {
  return rate >= plausibleRate.low && rate <= plausibleRate.high;
}

function isClose(a: number, b: number): boolean {
  return Math.abs(a / b - 1) <= agreeingFraction;
}

// A gap counts as regular within a quarter of the usual one; with fewer than this share the clip has no one rate.
const regularGap = 0.25;
const regularShare = 0.6;
/** Fewer gaps between frames than this say nothing about a rate. */
export const fewestGaps = 3;

// A camera whose rate falls in the dark, or that drops frames, keeps to its own rate in between, and nothing else makes
// so many gaps alike. Fewer are chance, as in a clip whose gaps scatter.
const usualShare = 0.4;
// A tick that is a larger part of a gap than this does not round times: it counts frames.
const mostTickShare = 1 / 8;
// The probing program prints microseconds, so that a difference of two of them is off by one.
const printedSeconds = 2e-6;
// Where all gaps are whole milliseconds, a container before this one rounded them, whatever the clock of this one.
const coarseTickSeconds = 0.001;

/** The gap between frames that a clip mostly has, and whether it is the same gap each time or only about that long. */
interface UsualGap {
  readonly seconds: number;
  readonly isCommon: boolean;
}

/**
 * The commonest of the gaps between frames, or their median where none is common or the stream's clock is not known. Gaps
 * that differ by at most one tick of that clock were rounded to it: they are one gap, of their mean.
 */
function usualGap(gaps: readonly number[], tickSeconds?: number): UsualGap | undefined {
  const middle = median(gaps);
  if (middle === undefined || gaps.length < fewestGaps || middle <= 0) return undefined;
  if (tickSeconds === undefined) return { seconds: middle, isCommon: false };
  const tick = gaps.every(isWholeTicks) ? Math.max(tickSeconds, coarseTickSeconds) : tickSeconds;
  const common = commonestGap(gaps, tick <= mostTickShare * middle ? tick : 0);
  if (common.length < usualShare * gaps.length) return { seconds: middle, isCommon: false };
  return { seconds: mean(common), isCommon: true };
}

function isWholeTicks(gap: number): boolean {
  return Math.abs(gap - coarseTickSeconds * Math.round(gap / coarseTickSeconds)) <= printedSeconds;
}

/** The most gaps of which none is longer than the shortest by more than a tick; of equals the shortest. */
function commonestGap(gaps: readonly number[], tickSeconds: number): readonly number[] {
  const sorted = gaps.toSorted((a, b) => a - b);
  let [from, to] = [0, 0];
  let end = 0;
  for (let start = 0; start < sorted.length; start++) {
    while (end < sorted.length && sorted[end]! - sorted[start]! <= tickSeconds + printedSeconds) end++;
    if (end - start > to - from) [from, to] = [start, end];
  }
  return sorted.slice(from, to);
}

/** Gaps between presentation times, whatever their order. */
function gapsBetween(timesSeconds: readonly number[]): readonly number[] {
  const sorted = [...new Set(timesSeconds)].sort((a, b) => a - b);
  return sorted.slice(1).map((time, at) => time - sorted[at]!);
}

/**
 * The rate that presentation times show, whatever their order: that of the usual gap. Undefined where they are too few
 * or too uneven. Gaps left by dropped frames do not count.
 */
export function rateFromTimes(timesSeconds: readonly number[], tickSeconds?: number): FrameRate | undefined {
  const gaps = gapsBetween(timesSeconds);
  const usual = usualGap(gaps, tickSeconds);
  if (usual === undefined) return undefined;
  const regular = gaps.filter((gap) => Math.abs(gap / usual.seconds - 1) <= regularGap);
  if (!usual.isCommon && regular.length < regularShare * gaps.length) return undefined;
  const rate = 1 / (usual.isCommon ? usual.seconds : mean(regular));
  if (!isPlausible(rate)) return undefined;
  return nominalRate(rate, roundedTimesFraction) ?? frameRateFromNumber(rate);
}

const mean = (numbers: readonly number[]): number =>
  numbers.reduce((sum, number) => sum + number, 0) / numbers.length;

// Times are rounded to the container's time base (a millisecond, often), and so is the rate made of them.
const roundedTimesFraction = 0.0004;

// A gap counts as the usual one within a quarter of it, and as a whole number of them within a tenth.
const nearUsual = 0.25;
const wholeGaps = 0.1;

/**
 * What the presentation times of the first frames say of how evenly they follow each other. Gaps of whole frames mean
 * that frames were dropped, and the one before is shown again; other gaps, that the rate itself varies.
 */
export function frameTiming(timesSeconds: readonly number[], tickSeconds?: number): Reading {
  const gaps = gapsBetween(timesSeconds);
  const usual = usualGap(gaps, tickSeconds)?.seconds;
  if (usual === undefined) return emptyReading;
  const irregular = gaps.map((gap) => gap / usual).filter((steps) => Math.abs(steps - 1) > nearUsual);
  const dropped = irregular.every(
    (steps) => Math.round(steps) > 1 && Math.abs(steps - Math.round(steps)) <= wholeGaps,
  );
  const timing = irregular.length === 0 ? 'constant' : dropped ? 'repeating' : 'variable';
  const source = `times of the first ${gaps.length + 1} frames`;
  return {
    sightings: [
      sighting('frameTiming', timing, 'stream', source),
      sighting('irregularFrameFraction', irregular.length / gaps.length, 'stream', source),
    ],
    refusals: [],
  };
}
