import type { Alternative, FilterPick } from '../domain/advice.ts';
import { factorFromStops } from '../domain/filter.ts';
import { framesPerSecond, type FrameRate } from '../domain/frameRate.ts';
import { commonKit, noFilter, type KitFilter } from '../domain/filterKit.ts';
import type { Limits } from '../domain/limits.ts';
import { markedShutterSeconds } from '../domain/settingMarks.ts';
import { exposureSecondsForAngle, shutterAngleDegrees } from '../domain/shutter.ts';
import { ratioFromStops, stopsFromRatio } from '../domain/exposure.ts';
import { chooseFilter, fits, outsideStops, without, type Demand, pairsOf } from './choose.ts';

/** Between a high sun and sunset a clear sky loses about seven stops (EV 15.3 at 60 degrees, 8.2 at 0). */
const mostWaitingStops = 7;

/**
 * What else would have worked, in the order in which it is worth trying. Where the pick fits there is nothing to say,
 * unless it is that no filter is needed, or how to hold burnt highlights without another filter.
 */
export function alternatives(situation: Situation): readonly Alternative[] {
  const { pick, demand, fittedKnown } = situation;
  const darker = darkerByShutter(situation);
  if (fits(pick.leavesStops, demand))
    return [
      ...(pick.stops === 0 && fittedKnown ? [{ kind: 'no-filter-needed' as const }] : []),
      ...(darker ? [darker] : []),
    ];
  const { label, leavesStops } = pick;
  return [
    { kind: 'nearest-leaves-outside' as const, label, leavesStops },
    secondBaseIso(situation),
    raisedIso(situation),
    stoppedDown(situation),
    otherFrameRate(situation),
    shutterWithinTolerance(situation),
    stack(situation),
    waiting(situation),
    missingStrength(situation),
    darker,
  ].filter((alternative) => alternative !== undefined);
}

function stack({ demand, kit }: Situation): Alternative | undefined {
  const pairs = pairsOf(kit);
  const asFilters = pairs.map(({ stops }, index) => ({ label: String(index), stops }));
  const best = chooseFilter(asFilters, demand);
  const pair = pairs[Number(best.label)];
  if (!pair || !fits(best.leavesStops, demand)) return undefined;
  return { kind: 'stack', ...pair, leavesStops: best.leavesStops };
}

/** How far the light must sink until the strongest filter is enough. */
function waiting({ demand, pick }: Situation): Alternative | undefined {
  const stops = pick.leavesStops - demand.windowStops[1];
  if (stops <= 0 || stops > mostWaitingStops) return undefined;
  return { kind: 'wait-for-light', label: pick.label, stops };
}

/** The full-stop strength to buy, where one would fit. */
function missingStrength({ demand }: Situation): Alternative | undefined {
  const ideal = chooseFilter(commonKit, demand);
  if (ideal.stops === 0 || !fits(ideal.leavesStops, demand)) return undefined;
  return { kind: 'strength-not-in-kit', stops: ideal.stops, factor: factorFromStops(ideal.stops) };
}

/** What a clip asked of the filter, what the kit had for it, and what else could have been set. */
interface Situation {
  readonly demand: Demand;
  readonly pick: FilterPick;
  readonly kit: readonly KitFilter[];
  readonly limits: Limits;
  readonly frameRate: FrameRate;
  readonly fittedKnown: boolean;
  readonly iso: number | undefined;
  readonly fNumber: number | undefined;
  readonly fNumbersSeen: readonly number[];
  /** How much of the demand is for burnt highlights, >= 0. */
  readonly darkerStops: number;
}

// What else would have worked by setting the camera otherwise: sensitivity, aperture, frame rate, shutter.

/** Third-stop marks above base ISO, as ratios to it (ISO 12232 marks 100, 125, 160, ... from memory). */
const isoSteps: readonly number[] = [
  1.25, 1.6, 2, 2.5, 3.2, 4, 5, 6.4, 8, 10, 12.5, 16, 20, 25, 32, 40, 50, 64,
];

/** Two stops above base, or what the pilot went to: more costs too much picture to be advice. */
const mostIsoStep = 4;

/** Rates that cameras offer for ordinary playback; BT.709's list and twice 24. */
const usualRates: readonly number[] = [24, 25, 30, 48, 50, 60];

/** Where the camera has a second sensitivity that is as clean, a filter for that one. */
function secondBaseIso({ demand, kit, limits }: Situation): Alternative | undefined {
  const iso = limits.secondBaseIso;
  if (iso === undefined) return undefined;
  const { label, leavesStops } = chooseFilter(kit, without(demand, -stopsFromRatio(iso / limits.baseIso)));
  return fits(leavesStops, demand) ? { kind: 'second-base-iso', label, iso, leavesStops } : undefined;
}

/** The filter that takes too much by the least, with the least ISO that makes up for it. */
function raisedIso({ demand, kit, limits, iso }: Situation): Alternative | undefined {
  const tooStrong = [noFilter, ...kit].filter(
    ({ stops, graduated, rangeStops }) =>
      !graduated && !rangeStops && outsideStops(demand.totalStops - stops, demand.windowStops) < 0,
  );
  const weakest = tooStrong.sort((a, b) => a.stops - b.stops)[0];
  if (iso === undefined || !weakest) return undefined;
  const most = Math.max(mostIsoStep, iso / limits.baseIso);
  const leavesAt = (step: number) => demand.totalStops - weakest.stops + stopsFromRatio(step);
  const step = isoSteps.find((candidate) => candidate <= most && fits(leavesAt(candidate), demand));
  if (step === undefined) return undefined;
  return {
    kind: 'raise-iso',
    label: weakest.label,
    iso: Math.round(limits.baseIso * step),
    leavesStops: leavesAt(step),
  };
}

/** Only f-numbers that this camera was seen to use: a lens that shows one f-number only may have no iris. */
function stoppedDown({ demand, kit, fNumber, fNumbersSeen }: Situation): Alternative | undefined {
  const apertures = [...new Set(fNumbersSeen)].sort((a, b) => a - b);
  if (fNumber === undefined || apertures.length < 2) return undefined;
  for (const smaller of apertures.filter((candidate) => candidate > fNumber)) {
    const { label, leavesStops } = chooseFilter(kit, without(demand, 2 * stopsFromRatio(smaller / fNumber)));
    if (fits(leavesStops, demand)) return { kind: 'stop-down', label, fNumber: smaller, leavesStops };
  }
  return undefined;
}

/** The usual rate nearest to the recorded one whose own target shutter some filter of the kit fits. */
function otherFrameRate({ demand, kit, frameRate, limits }: Situation): Alternative | undefined {
  const recorded = framesPerSecond(frameRate);
  const away = (rate: number) => Math.abs(stopsFromRatio(rate / recorded));
  const rates = usualRates
    .map((rate) => (frameRate.denominator === 1001 && rate % 25 !== 0 ? rate / 1.001 : rate))
    .filter((rate) => away(rate) > 0.01)
    .sort((a, b) => away(a) - away(b));
  for (const rate of rates) {
    const { label, leavesStops } = chooseFilter(kit, without(demand, stopsFromRatio(rate / recorded)));
    if (!fits(leavesStops, demand)) continue;
    const { shutterAngleDegrees: angleDegrees } = limits;
    const exposureSeconds = exposureSecondsForAngle({ angleDegrees, framesPerSecond: rate });
    return { kind: 'other-frame-rate', label, framesPerSecond: rate, exposureSeconds, leavesStops };
  }
  return undefined;
}

/** The pick with a marked shutter off its target, by no more than the tolerance, that brings the exposure home. */
function shutterWithinTolerance(situation: Situation): Alternative | undefined {
  const { demand, pick, limits } = situation;
  const { rate, seconds: targetSeconds } = target(situation);
  const away = (marked: number) => stopsFromRatio(marked / targetSeconds);
  const [exposureSeconds] = markedShutterSeconds
    .filter((marked) => Math.abs(away(marked)) <= limits.shutterToleranceStops && marked <= 1 / rate)
    .filter((marked) => fits(pick.leavesStops + away(marked), demand))
    .sort((a, b) => Math.abs(away(a)) - Math.abs(away(b)));
  if (exposureSeconds === undefined) return undefined;
  return { kind: 'shutter-within-tolerance', label: pick.label, exposureSeconds };
}

/** The filter that the exposure alone asks for, with a shutter that is shorter by what the highlights need. */
function darkerByShutter(situation: Situation): Alternative | undefined {
  const { darkerStops, demand, pick, kit } = situation;
  if (darkerStops <= 0) return undefined;
  const { label, leavesStops } = chooseFilter(kit, without(demand, darkerStops));
  const { rate, seconds: targetSeconds } = target(situation);
  const longestSeconds = targetSeconds * ratioFromStops(-(leavesStops + darkerStops));
  const exposureSeconds = markedShutterSeconds.find((marked) => marked <= longestSeconds * markSlack);
  if (label === pick.label || exposureSeconds === undefined || exposureSeconds > targetSeconds)
    return undefined;
  const angleDegrees = shutterAngleDegrees({ exposureSeconds, framesPerSecond: rate });
  return { kind: 'darker-by-shutter', label, exposureSeconds, angleDegrees };
}

function target({ limits, frameRate }: Situation) {
  const rate = framesPerSecond(frameRate);
  const { shutterAngleDegrees: angleDegrees } = limits;
  return { rate, seconds: exposureSecondsForAngle({ angleDegrees, framesPerSecond: rate }) };
}

/** A marked 1/125 s is in truth 1/128 s, so marks may miss by this much. */
const markSlack = 1.03;
