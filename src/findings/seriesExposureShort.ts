import { z } from 'zod';
import { formatDuration, formatExposure, formatPercent, stopsInWords } from '../domain/format.ts';
import type { Limits } from '../domain/limits.ts';
import { wayMetres } from '../domain/cameraWay.ts';
import { flowingShare, type IntervalSeries, type MappingFlight } from '../domain/sequence.ts';
import { median } from '../domain/statistics.ts';
import { halfSettingStepStops, stopsFromRatio } from '../domain/exposure.ts';
import { leastDiscFraction, worstClippedFrame } from './clipping.ts';
import { finding, type FindingContext, type JudgedSequence } from './finding.ts';

/** Share of the target exposure: half a second of 5 s shows some blur already; common practice, no source. */
const someBlurShare = 0.2;
/** Longer intervals make no motion flow; common practice, no source. */
const longestFlowSeconds = 15;
/** Keeps marks inside. */
const rounding = 1e-6;
const wordedBlurShare = 0.199;

/** Metres between two frames below which an aircraft hovers: what positions and wind make of a fixed spot. */
const hoverMetres = 1;

/** What the recorded places say of the camera, and what that makes of a short exposure. */
const cameraMotions = {
  moving: 'The camera moved between frames, so the series will look stepped.',
  hovering: 'The camera hovered, so only what moves by itself will look stepped.',
  unknown: 'What moves will look stepped.',
} as const;

const data = z.object({
  exposureSeconds: z.number(),
  intervalSeconds: z.number(),
  targetSeconds: z.number(),
  camera: z.enum(['moving', 'hovering', 'unknown']),
  /** Share of the picture that the burnt sun (or lamp) covers, where there is one. */
  discFraction: z.number().optional(),
  isIsoRaised: z.boolean().optional(),
});

export const seriesExposureShort = finding({
  kind: 'series-exposure-short',
  data,
  topic: 'series',
  title: 'exposure short for the interval',
  check: (judged: JudgedSequence) => {
    const { sequence, limits } = judged;
    if (sequence.kind !== 'interval' || !wantsFlow(sequence)) return undefined;
    const { intervalSeconds } = sequence;
    const exposureSeconds = seriesExposureSeconds(sequence);
    if (exposureSeconds === undefined) return undefined;
    const targetSeconds = seriesTargetSeconds(intervalSeconds, limits);
    const share = exposureSeconds / targetSeconds;
    if (share >= flowingShare - rounding) return undefined;
    const camera = cameraMotion(sequence);
    const discFraction = largestDisc(judged);
    const iso = median(sequence.members.flatMap(({ facts }) => facts.iso?.value ?? []));
    const isIsoRaised = iso !== undefined && stopsFromRatio(iso / limits.baseIso) > halfSettingStepStops;
    return {
      weight: share < someBlurShare - rounding && camera !== 'hovering' ? 'medium' : 'low',
      exposureSeconds,
      intervalSeconds,
      targetSeconds,
      camera,
      discFraction: discFraction >= leastDiscFraction ? discFraction : undefined,
      isIsoRaised: isIsoRaised || undefined,
    };
  },
  sentence: ({ exposureSeconds, intervalSeconds, targetSeconds, camera, discFraction }) =>
    `Each frame was exposed for ${formatExposure(exposureSeconds)} of ${formatDuration(intervalSeconds)}; ` +
    `${formatExposure(targetSeconds)} makes motion flow, ${stopsInWords(stopsFromRatio(targetSeconds / exposureSeconds))} more. ` +
    `${exposureSeconds >= wordedBlurShare * targetSeconds ? 'Some blur shows already. ' : ''}${cameraMotions[camera]}` +
    `${discFraction === undefined ? '' : ` ${sunTrade(discFraction)}`}`,
  remedy: ({ targetSeconds, isIsoRaised }, { advised }) => ({
    inTheEdit: 'Blend neighbouring frames, or add motion blur by an effect.',
    nextTime: `Expose for ${formatExposure(targetSeconds)}${addedLight(isIsoRaised, advised)}`,
  }),
  meaning:
    'Each frame of the time-lapse was exposed for a small share of its interval. Played, what moves jumps from frame to frame ' +
    'and the series looks stepped.',
  limit: {
    at: `less than ${formatPercent(flowingShare)} of half the interval (of the share that shutter.angleDegrees is of a full turn); flagged below ${formatPercent(someBlurShare)} unless the camera hovered; above ${longestFlowSeconds} s only where the notes or the exposures say that motion was to flow`,
    reason:
      'half the interval makes motion flow, 1.5 s of 5 s nearly so, and half a second of 5 s shows some blur',
    source:
      'the half-interval rule of time-lapse, a rule of thumb that web pages on it name; the shares: common practice, no source',
  },
  example: {
    weight: 'medium',
    exposureSeconds: 1 / 100,
    intervalSeconds: 5,
    targetSeconds: 2.5,
    camera: 'moving',
  },
});

function addedLight(isIsoRaised: boolean | undefined, advised: FindingContext['advised']): string {
  if (advised?.mayBeDarker === false) return ': that brings light that was missing, too.';
  return isIsoRaised === true
    ? ', with a lower ISO, then a filter, that takes the added light away.'
    : ', with a filter that takes the added light away.';
}

/**
 * Whether motion in a series is to flow: slower ones show light and growth, and half of a minute is no exposure for
 * daylight. What was exposed long, or stands in the notes, was meant so.
 */
export function wantsFlow({ intervalSeconds, sign }: IntervalSeries): boolean {
  return sign !== 'playing-time' || intervalSeconds <= longestFlowSeconds;
}

/** The exposure that a series wants: the share of its interval that the target angle is of a full turn. */
export function seriesTargetSeconds(intervalSeconds: number, { shutterAngleDegrees }: Limits): number {
  return (intervalSeconds * shutterAngleDegrees) / 360;
}

/** The usual exposure of a series: its median. */
export function seriesExposureSeconds({ members }: IntervalSeries | MappingFlight): number | undefined {
  return median(members.flatMap(({ facts }) => facts.exposureSeconds?.value ?? []));
}

/** Whether the camera travelled, by the places that were recorded. */
function cameraMotion({ members }: IntervalSeries): keyof typeof cameraMotions {
  const ways = members
    .slice(1)
    .flatMap((member, index) => wayMetres(members[index]!.facts, member.facts) ?? []);
  const usual = median(ways);
  if (usual === undefined || ways.length * 2 < members.length) return 'unknown';
  return usual > hoverMetres ? 'moving' : 'hovering';
}

function largestDisc({ evidence }: JudgedSequence): number {
  const discs = evidence.map(({ measurement }) => measurement && worstClippedFrame(measurement, 'disc'));
  return Math.max(0, ...discs.map((frame) => frame?.clippedFraction ?? 0));
}

/** A burnt sun does not get worse by a filter, only by a longer exposure without one. */
function sunTrade(discFraction: number): string {
  return (
    `The sun (or a lamp) burns in ${formatPercent(discFraction)} of the picture at this exposure: a longer one without a stronger ` +
    'filter widens that spot, with one that takes as much as the time adds the spot stays as it is.'
  );
}
