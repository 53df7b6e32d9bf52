import { z } from 'zod';
import type { ExposureBasis, FindingWeight } from '../domain/findingWeight.ts';
import { formatStops, stopsInWords } from '../domain/format.ts';
import { defaultLimits } from '../domain/limits.ts';
import type { Recording } from '../domain/recording.ts';
import { halfSettingStepStops } from '../domain/exposure.ts';
import { assumedTransferStops, isTransferAssumed, whiteMayBeHigherStops } from '../domain/transferCurves.ts';
import { brightnessWeight, usualOffset } from './exposureOffset.ts';
import { commonPractice, type Judged, type JudgedSequence } from './finding.ts';

// What the findings about an exposure outside the window share, of a single recording and of a series.

export const offsetData = z.object({
  offsetStops: z.number(),
  basis: z.enum(['metered', 'picture']),
  /** Taken off the offset, because the curve leaves open where white lies; absent where nothing was. */
  leftOutStops: z.number().optional(),
  /** Set where nobody recorded the curve that brightness was read by. */
  curveIsAssumed: z.boolean().optional(),
});
type Offset = z.output<typeof offsetData>;

/** Only a time-lapse wants its time kept, and so a filter. */
export const seriesOffsetData = offsetData.extend({ isTimeLapse: z.boolean() });

/** Keeps an offset of exactly a limit inside it: 0 - 0.7 - 1/3 is no round number. */
const rounding = 1e-9;

interface Steps {
  readonly remark: number;
  readonly medium: number;
  readonly high: number;
}

/**
 * Stops beyond the window from which an offset is remarked on, flags the recording, and weighs high. Below half of a step
 * of the settings no pilot could have set it better; beyond a whole one somebody could.
 */
const metered: Steps = {
  remark: halfSettingStepStops + rounding,
  medium: 1 / 3 + rounding,
  high: 1 + rounding,
};

/**
 * The level of a picture also depends on its subject, so without a meter no offset weighs high. White things reflect 83
 * to 90% (the cards of Report ITU-R BT.2408-7, table 1), 2.2 to 2.3 stops over grey: a picture full of them is as
 * bright with nothing wrong. Dark woods and water reflect some 5%, 1.85 stops under grey (from memory), 1.15 beyond the
 * usual window. Remarked on from 0.7: common practice, no source.
 */
const pictured: Readonly<Record<'bright' | 'dark', Steps>> = {
  bright: { remark: 0.7, medium: 2.2, high: Infinity },
  dark: { remark: 0.7, medium: 1.15, high: Infinity },
};

/**
 * PQ holds the light of a display, and what a display shall show a camera or a grade chose: its level is only remarked
 * on.
 */
const isChosen = ({ facts }: Recording): boolean => facts.transfer?.value === 'pq';

export function offsetOutside({ recording, offset, limits }: Judged, side: 'bright' | 'dark') {
  if (!offset) return undefined;
  const [low, high] = limits.windowStops;
  const beyondStops = side === 'bright' ? offset.offsetStops - high : low - offset.offsetStops;
  const steps = offset.basis === 'metered' ? metered : pictured[side];
  if (beyondStops <= steps.remark) return undefined;
  const curveIsAssumed = offset.basis === 'picture' && isTransferAssumed(recording.facts);
  const certainStops = curveIsAssumed ? beyondStops - assumedTransferStops : beyondStops;
  const weight = offset.basis === 'picture' && isChosen(recording) ? 'low' : weightOf(certainStops, steps);
  const leftOutStops = side === 'bright' ? stopsLeftOut(recording, offset.basis) : 0;
  return {
    weight: brightnessWeight(recording, weight),
    ...offset,
    leftOutStops: leftOutStops > 0 ? leftOutStops : undefined,
    curveIsAssumed: curveIsAssumed || undefined,
  };
}

/** The same of the usual frame of a series. */
export function seriesOffsetOutside({ sequence, evidence, limits }: JudgedSequence, side: 'bright' | 'dark') {
  const [recording] = sequence.members;
  if ((sequence.kind !== 'interval' && sequence.kind !== 'mapping') || !recording) return undefined;
  const offset = offsetOutside(
    { recording, limits, offset: usualOffset(evidence.flatMap((member) => member.offset ?? [])) },
    side,
  );
  return offset && { ...offset, isTimeLapse: sequence.kind === 'interval' };
}

function stopsLeftOut({ facts }: Recording, basis: ExposureBasis): number {
  if (basis === 'metered' || facts.transfer === undefined) return 0;
  return whiteMayBeHigherStops(facts.transfer.value);
}

function weightOf(beyondStops: number, { medium, high }: Steps): FindingWeight {
  if (beyondStops > high) return 'high';
  return beyondStops > medium ? 'medium' : 'low';
}

const bases: Readonly<Record<ExposureBasis, string>> = {
  metered: "by the camera's own meter",
  picture: 'judged by its mean brightness, which also depends on the subject',
};

/** What an exposure was judged by, to end a sentence with. */
export function judgedBy({ basis, leftOutStops, curveIsAssumed }: Offset): string {
  if (curveIsAssumed === true)
    return `${bases[basis]} and on its transfer curve: none was recorded, and BT.709 is assumed`;
  if (leftOutStops === undefined) return bases[basis];
  return `${bases[basis]} and on where the camera put white in its curve (${stopsInWords(leftOutStops)} were left out for that)`;
}

/** How far over, with what stands before a number that something was left out of. */
export function stopsOver({ offsetStops, leftOutStops }: Offset): string {
  return `${leftOutStops === undefined ? '' : 'at least '}${stopsInWords(offsetStops)} over`;
}

export function wantedWindow(windowStops: readonly [number, number] | undefined): string {
  return windowStops === undefined ? '' : ` (${windowInWords(windowStops)} is wanted)`;
}

function windowInWords([low, high]: readonly [number, number]): string {
  return `${formatStops(low)} to ${formatStops(high)}`;
}

/** A remark on the mean level of a picture may be about its subject: no filter is changed for that. */
export function isDoubtful({ weight, basis }: Offset & { readonly weight: FindingWeight }): boolean {
  return weight === 'low' && basis === 'picture';
}

function windowLimit(side: 'bright' | 'dark'): string {
  const { remark, medium } = pictured[side];
  return (
    `more than 1/6 stop ${side === 'bright' ? 'over' : 'under'} the window of ${windowInWords(defaultLimits.windowStops)} stops ` +
    `(exposure.windowStops) by the camera's meter, or ${remark} by the mean level of the picture; flagged from 1/3 by the ` +
    `meter and ${medium} by the level; weighs high from 1 stop by the meter`
  );
}

export const windowLimits = {
  bright: {
    at: windowLimit('bright'),
    reason:
      'video has little headroom above white, so over is never right; half a step of the settings cannot be set better; ' +
      'a picture full of white things is 2.2 stops over grey with nothing wrong',
    source: `Report ITU-R BT.2408-7, table 1, for white things; the window and the first 0.7 stop: ${commonPractice}`,
  },
  dark: {
    at: windowLimit('dark'),
    reason:
      'half a step of the settings cannot be set better; dark woods and water are 1.85 stops under grey with nothing wrong',
    source: `the window and the first 0.7 stop: ${commonPractice}; woods and water: from memory`,
  },
};
