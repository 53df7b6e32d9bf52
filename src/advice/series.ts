import type { FilterChange, SeriesAdvice, SeriesAlternative } from '../domain/advice.ts';
import type { ExposureBasis } from '../domain/findingWeight.ts';
import { factorFromStops } from '../domain/filter.ts';
import { commonKit, type FittedFilter, type KitFilter } from '../domain/filterKit.ts';
import type { Limits } from '../domain/limits.ts';
import { flowingShare } from '../domain/sequence.ts';
import { stopsFromRatio } from '../domain/exposure.ts';
import { chooseFilter, outsideStops, pairsOf, type Demand } from './choose.ts';
import { uncertaintyStops } from './uncertainty.ts';

interface SeriesSubject {
  readonly exposureSeconds: number;
  readonly intervalSeconds: number;
  /** What the series wants of its interval. */
  readonly targetSeconds: number;
  readonly iso?: number;
  readonly offset?: { readonly offsetStops: number; readonly basis: ExposureBasis };
  readonly fitted?: FittedFilter;
  readonly kit: readonly KitFilter[];
  readonly limits: Limits;
}

/** Frames that are still worth averaging: the noise falls, but so does what a card and a battery last. */
const mostAveraged = 32;

/** A camera needs some of the interval to store a frame; common practice, no source. */
const shortestIntervalSeconds = 1;

/**
 * Which filter would have put an interval series on its target exposure, as far as the camera can reach it, and what
 * would have helped without one.
 *
 * stops = log2(reachable / recorded exposure) + log2(base ISO / ISO) + exposure offset, as for clips.
 */
export function adviseSeries(subject: SeriesSubject): SeriesAdvice {
  const { exposureSeconds, targetSeconds, iso, offset, fitted, kit, limits } = subject;
  const reachableSeconds = Math.min(targetSeconds, limits.longestExposureSeconds ?? Infinity);
  const additionalStops =
    stopsFromRatio(reachableSeconds / exposureSeconds) +
    (iso === undefined ? 0 : stopsFromRatio(limits.baseIso / iso)) +
    (offset?.offsetStops ?? 0);
  const demand: Demand = {
    totalStops: additionalStops + (fitted?.stops ?? 0),
    windowStops: limits.windowStops,
  };
  const pick = chooseFilter(kit, demand);
  return {
    targetSeconds,
    reachableSeconds,
    ...(fitted ? { fitted, neededStops: Math.max(0, demand.totalStops) } : { assumesNothingFitted: true }),
    additionalStops,
    change: seriesChange(subject, additionalStops),
    ...(fitted || pick.stops > 0 ? { pick } : {}),
    uncertaintyStops: uncertaintyStops({ basis: offset?.basis, fitted }),
    otherwise: [
      cameraLimit(subject, reachableSeconds),
      ...(outsideStops(pick.leavesStops, demand.windowStops) > 0 ? stronger(kit, demand) : []),
      average(subject, reachableSeconds),
      shorterInterval(subject),
    ].filter((alternative) => alternative !== undefined),
  };
}

/** A series whose exposure is long enough and right by the meter had the right filter. */
function seriesChange(subject: SeriesSubject, additionalStops: number): FilterChange {
  const { exposureSeconds, targetSeconds, offset, limits } = subject;
  const outside = outsideStops(additionalStops, limits.windowStops);
  const share = exposureSeconds / targetSeconds;
  const right = outsideStops(offset?.offsetStops ?? 0, limits.windowStops) === 0;
  if (outside === 0 || (right && share >= flowingShare && share <= 1)) return 'none';
  return outside > 0 ? 'stronger' : 'weaker';
}

function cameraLimit(
  { targetSeconds }: SeriesSubject,
  longestSeconds: number,
): SeriesAlternative | undefined {
  return longestSeconds < targetSeconds ? { kind: 'camera-limit', longestSeconds, targetSeconds } : undefined;
}

function stronger(kit: readonly KitFilter[], demand: Demand): readonly SeriesAlternative[] {
  const inside = (stops: number) => outsideStops(demand.totalStops - stops, demand.windowStops) === 0;
  const pair = pairsOf(kit)
    .toSorted((a, b) => a.stops - b.stops)
    .find(({ stops }) => inside(stops));
  const ideal = chooseFilter(commonKit, demand).stops;
  return [
    ...(pair ? [{ kind: 'series-stack' as const, ...pair }] : []),
    ...(inside(ideal)
      ? [{ kind: 'series-strength-not-in-kit' as const, stops: ideal, factor: factorFromStops(ideal) }]
      : []),
  ];
}

/** Short exposures, one after the other within each interval, added up to the target. */
function average(
  { exposureSeconds, targetSeconds }: SeriesSubject,
  reachableSeconds: number,
): SeriesAlternative | undefined {
  const limited = reachableSeconds < targetSeconds;
  const each = limited ? reachableSeconds : exposureSeconds;
  const count = Math.ceil(targetSeconds / each - 1e-9);
  return count >= 2 && count <= mostAveraged ? { kind: 'average', count, exposureSeconds: each } : undefined;
}

/** The interval of which the recorded exposure would have been the wanted share. */
function shorterInterval(subject: SeriesSubject): SeriesAlternative | undefined {
  const intervalSeconds = (subject.intervalSeconds * subject.exposureSeconds) / subject.targetSeconds;
  const shorter =
    intervalSeconds >= shortestIntervalSeconds && intervalSeconds < subject.intervalSeconds * 0.9;
  return shorter ? { kind: 'shorter-interval', intervalSeconds } : undefined;
}
