import { z } from 'zod';
import type { ExposureBasis, FindingWeight } from '../domain/findingWeight.ts';
import { formatStops, stopsInWords } from '../domain/format.ts';
import { defaultLimits, type Limits } from '../domain/limits.ts';
import type { Recording } from '../domain/recording.ts';
import { halfSettingStepStops } from '../domain/exposure.ts';
import { median } from '../domain/statistics.ts';
import {
  assumedTransferStops,
  isTransferAssumed,
  levelToleranceStops,
  whiteMayBeHigherStops,
} from '../domain/transferCurves.ts';
import { brightnessWeight, isBelieved, usualOffset } from './exposureOffset.ts';
import { commonPractice, type ExposureOffset, type Judged, type JudgedSequence } from './finding.ts';

// What the findings about an exposure outside the window share, of a single recording and of a series.

export const offsetData = z.object({
  offsetStops: z.number(),
  basis: z.enum(['metered', 'picture']),
  /** Taken off the offset, because the curve leaves open where white lies; absent where nothing was. */
  leftOutStops: z.number().optional(),
  /** Set where nobody recorded the curve that brightness was read by. */
  curveIsAssumed: z.boolean().optional(),
  /** By how much the picture could have been brighter at most, where that is less than what it is under. */
  roomStops: z.number().optional(),
  /** The compensation that was dialled in, which is a part of the offset; absent where none was, or the meter judged. */
  dialledStops: z.number().optional(),
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
 * bright with nothing wrong as long as it has not burnt out, and can be darkened: a stop more weighs. (Of 4 real clips
 * that were flagged for 2.2 two people called none too bright.) Where it has burnt out, two stops over weigh, less what a
 * level may be off. Dark woods and water reflect some 5%, 1.85 stops under grey (from memory), 1.15 beyond the usual
 * window. Remarked on from 0.7 under; over, from 1: a quarter of 500 ordinary photographs lie beyond 0.9.
 */
const pictured: Readonly<Record<'bright' | 'burnt' | 'dark', Steps>> = {
  bright: { remark: 1, medium: 3.2, high: Infinity },
  burnt: { remark: 1, medium: 2 - levelToleranceStops, high: Infinity },
  dark: { remark: 0.7, medium: 1.15, high: Infinity },
};

/**
 * PQ holds the light of a display, and what a display shall show a camera or a grade chose: its level is only remarked
 * on.
 */
const isChosen = ({ facts }: Recording): boolean => facts.transfer?.value === 'pq';

export function offsetOutside({ recording, offset, limits, measurement }: Judged, side: 'bright' | 'dark') {
  const { clippedFraction, headroomStops } = measurement ?? {};
  return outside({ recording, offset, limits, burntFraction: clippedFraction?.median, headroomStops }, side);
}

interface Exposed {
  readonly recording: Recording;
  readonly offset: ExposureOffset | undefined;
  readonly limits: Limits;
  /** Share of the usual picture that is burnt out. */
  readonly burntFraction: number | undefined;
  readonly headroomStops?: number;
}

function outside(
  { recording, offset, limits, burntFraction = 0, headroomStops }: Exposed,
  side: 'bright' | 'dark',
) {
  if (!offset) return undefined;
  const [low, high] = limits.windowStops;
  const beyondStops = side === 'bright' ? offset.offsetStops - high : low - offset.offsetStops;
  const isBurnt = side === 'bright' && burntFraction > limits.clippedFraction;
  const steps = offset.basis === 'metered' ? metered : pictured[isBurnt ? 'burnt' : side];
  if (beyondStops <= steps.remark) return undefined;
  const curveIsAssumed = offset.basis === 'picture' && isTransferAssumed(recording.facts);
  const dialledStops = offset.basis === 'picture' ? recording.facts.exposureBiasStops?.value : undefined;
  const roomStops = side === 'dark' && offset.basis === 'picture' ? headroomStops : undefined;
  // What the photographer of a still wanted is told, and does not weigh. A dark mean beside parts that are as bright as
  // they may be is that of a night, a silhouette, a moon: what weighs is how far below the window those parts are.
  const wantedStops = recording.kind === 'still' ? wantedPart(dialledStops ?? 0, side) : 0;
  const certainStops = Math.min(
    beyondStops - wantedStops - (curveIsAssumed ? assumedTransferStops : 0),
    roomStops === undefined ? Infinity : low + roomStops,
  );
  const isRemark = offset.basis === 'picture' && (isChosen(recording) || !isBelieved(offset));
  const weight = isRemark ? 'low' : weightOf(certainStops, steps);
  const leftOutStops = side === 'bright' ? stopsLeftOut(recording, offset.basis) : 0;
  return {
    weight: brightnessWeight(recording, weight),
    ...offset,
    leftOutStops: leftOutStops > 0 ? leftOutStops : undefined,
    roomStops: roomStops !== undefined && roomStops < -offset.offsetStops ? roomStops : undefined,
    curveIsAssumed: curveIsAssumed || undefined,
    dialledStops: dialledStops !== undefined && Math.abs(dialledStops) >= 0.05 ? dialledStops : undefined,
  };
}

function wantedPart(dialledStops: number, side: 'bright' | 'dark'): number {
  return Math.max(0, side === 'bright' ? dialledStops : -dialledStops);
}

/** The same of the usual frame of a series. */
export function seriesOffsetOutside({ sequence, evidence, limits }: JudgedSequence, side: 'bright' | 'dark') {
  const [recording] = sequence.members;
  if ((sequence.kind !== 'interval' && sequence.kind !== 'mapping') || !recording) return undefined;
  const offset = usualOffset(evidence.flatMap((member) => member.offset ?? []));
  const burntFraction = median(
    evidence.flatMap(({ measurement }) => measurement?.clippedFraction.median ?? []),
  );
  const headroomStops = median(evidence.flatMap(({ measurement }) => measurement?.headroomStops ?? []));
  const exceeded = outside({ recording, offset, limits, burntFraction, headroomStops }, side);
  return exceeded && { ...exceeded, isTimeLapse: sequence.kind === 'interval' };
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
export function judgedBy(offset: Offset): string {
  const { basis, leftOutStops, curveIsAssumed } = offset;
  const dialled = dialledIn(offset);
  if (curveIsAssumed === true)
    return `${bases[basis]} and on its transfer curve: none was recorded, and BT.709 is assumed${dialled}`;
  if (leftOutStops === undefined) return `${bases[basis]}${dialled}`;
  return `${bases[basis]} and on where the camera put white in its curve (${stopsInWords(leftOutStops)} were left out for that)${dialled}`;
}

function dialledIn({ offsetStops, dialledStops }: Offset): string {
  if (dialledStops === undefined) return '';
  const dialled = formatStops(dialledStops);
  if (dialledStops * offsetStops < 0) return `, although ${dialled} was dialled in`;
  const isPart = Math.abs(dialledStops) <= Math.abs(offsetStops);
  return `; ${dialled} ${isPart ? 'of that ' : ''}was dialled in`;
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

/** A remark on the mean level of a picture may be about its subject: no setting is changed for that. */
export function isDoubtful({ weight, basis }: Offset & { readonly weight: FindingWeight }): boolean {
  return weight === 'low' && basis === 'picture';
}

function windowLimit(side: 'bright' | 'dark'): string {
  const { remark, medium } = pictured[side];
  return (
    `more than 1/6 stop ${side === 'bright' ? 'over' : 'under'} the window of ${windowInWords(defaultLimits.windowStops)} stops ` +
    `(exposure.windowStops) by the camera's meter, or ${remark} by the mean level of the picture; flagged from 1/3 by the ` +
    `meter and ${medium} by the level${side === 'bright' ? `, ${pictured.burnt.medium} where highlights are burnt out` : ''}; weighs high from 1 stop by the meter`
  );
}

export const windowLimits = {
  bright: {
    at: windowLimit('bright'),
    reason:
      'video has little headroom above white, so over is never right; half a step of the settings cannot be set better; ' +
      'a picture full of white things is 2.2 stops over grey with nothing wrong, and what has not burnt out can be darkened; a level is right to half a stop; what was dialled in for a still does not weigh',
    source: `Report ITU-R BT.2408-7, table 1, for white things; exposure brackets of 22 cameras for the level; the window and the first stop: ${commonPractice}`,
  },
  dark: {
    at: windowLimit('dark'),
    reason:
      'half a step of the settings cannot be set better; dark woods and water are 1.85 stops under grey with nothing wrong; ' +
      'by the level no more weighs than the brightest parts could have been brighter, and nothing that was dialled in for a still',
    source: `the window and the first 0.7 stop: ${commonPractice}; woods and water: from memory`,
  },
};
