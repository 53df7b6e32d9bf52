import type { Alternative, FilterPick } from '../domain/advice.ts';
import { factorFromStops } from '../domain/filter.ts';
import { framesPerSecond, type FrameRate } from '../domain/frameRate.ts';
import type { KitFilter } from '../domain/kit.ts';
import type { Limits } from '../domain/limits.ts';
import { exposureSecondsForAngle } from '../domain/shutter.ts';
import { ratioFromStops, stopsFromRatio } from '../domain/stops.ts';
import { chooseFilter, noFilter, outsideStops, type Demand } from './choose.ts';
import { commonKit } from './commonKit.ts';

export interface Situation {
  readonly demand: Demand;
  readonly pick: FilterPick;
  readonly kit: readonly KitFilter[];
  readonly limits: Limits;
  readonly frameRate: FrameRate;
  readonly fittedKnown: boolean;
  readonly iso: number | undefined;
  readonly fNumber: number | undefined;
  readonly fNumbersSeen: readonly number[];
}

/** Third-stop marks above base ISO, as ratios to it (ISO 12232 marks 100, 125, 160, ... from memory). */
const isoSteps: readonly number[] = [
  1.25, 1.6, 2, 2.5, 3.2, 4, 5, 6.4, 8, 10, 12.5, 16, 20, 25, 32, 40, 50, 64,
];

/** Two stops above base, or what the pilot went to: more costs too much picture to be advice. */
const mostIsoStep = 4;

/** Rates that cameras offer for ordinary playback; BT.709's list and twice 24. */
const usualRates: readonly number[] = [24, 25, 30, 48, 50, 60];

/** What else would have worked. Where the pick fits there is nothing to say, unless it is that no filter is needed. */
export function alternatives(situation: Situation): readonly Alternative[] {
  const { pick, demand, fittedKnown } = situation;
  if (fits(pick.leavesStops, demand))
    return pick.stops === 0 && fittedKnown ? [{ kind: 'no-filter-needed' }] : [];
  const { label, leavesStops } = pick;
  return [
    { kind: 'nearest-leaves-outside' as const, label, leavesStops },
    shutterWithinTolerance(situation),
    stack(situation),
    raisedIso(situation),
    stoppedDown(situation),
    otherFrameRate(situation),
    missingStrength(situation),
  ].filter((alternative) => alternative !== undefined);
}

const fits = (leavesStops: number, { windowStops }: Demand) => outsideStops(leavesStops, windowStops) === 0;

/** The pick with a shutter as far off its target as the tolerance allows. */
function shutterWithinTolerance({ demand, pick, limits, frameRate }: Situation): Alternative | undefined {
  const beyond = outsideStops(pick.leavesStops, demand.windowStops);
  const rate = framesPerSecond(frameRate);
  const target = exposureSecondsForAngle({ angleDegrees: limits.shutterAngleDegrees, framesPerSecond: rate });
  const exposureSeconds = target * ratioFromStops(-beyond);
  if (Math.abs(beyond) > limits.shutterToleranceStops || exposureSeconds > 1 / rate) return undefined;
  return { kind: 'shutter-within-tolerance', label: pick.label, exposureSeconds };
}

/** Two of the kit in front of each other; two polarisers would make a variable filter, whose strength is not fixed. */
function stack({ demand, kit }: Situation): Alternative | undefined {
  const pairs = kit.flatMap((first, index) =>
    kit
      .slice(index + 1)
      .filter((second) => !(first.polariser && second.polariser))
      .map((second) => ({ labels: [first.label, second.label] as const, stops: first.stops + second.stops })),
  );
  const asFilters = pairs.map(({ stops }, index) => ({ label: String(index), stops }));
  const best = chooseFilter(asFilters, demand);
  const pair = pairs[Number(best.label)];
  if (!pair || !fits(best.leavesStops, demand)) return undefined;
  return { kind: 'stack', ...pair, leavesStops: best.leavesStops };
}

/** The filter that takes too much by the least, with the least ISO that makes up for it. */
function raisedIso({ demand, kit, limits, iso }: Situation): Alternative | undefined {
  const tooStrong = [noFilter, ...kit].filter(
    ({ stops }) => outsideStops(demand.totalStops - stops, demand.windowStops) < 0,
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
  const seen = [...new Set(fNumbersSeen)].sort((a, b) => a - b);
  if (fNumber === undefined || seen.length < 2) return undefined;
  for (const smaller of seen.filter((candidate) => candidate > fNumber)) {
    const stops = 2 * stopsFromRatio(smaller / fNumber);
    const { label, leavesStops } = chooseFilter(kit, { ...demand, totalStops: demand.totalStops - stops });
    if (fits(leavesStops, demand)) return { kind: 'stop-down', label, fNumber: smaller, leavesStops };
  }
  return undefined;
}

/** The usual rate nearest to the recorded one whose own target shutter some filter of the kit fits. */
function otherFrameRate({ demand, kit, frameRate }: Situation): Alternative | undefined {
  const recorded = framesPerSecond(frameRate);
  const away = (rate: number) => Math.abs(stopsFromRatio(rate / recorded));
  const rates = usualRates
    .map((rate) => (frameRate.denominator === 1001 && rate % 25 !== 0 ? rate / 1.001 : rate))
    .filter((rate) => away(rate) > 0.01)
    .sort((a, b) => away(a) - away(b));
  for (const rate of rates) {
    const totalStops = demand.totalStops + stopsFromRatio(recorded / rate);
    const { label, leavesStops } = chooseFilter(kit, { ...demand, totalStops });
    if (fits(leavesStops, demand))
      return { kind: 'other-frame-rate', label, framesPerSecond: rate, leavesStops };
  }
  return undefined;
}

/** The full-stop strength to buy, where one would fit. */
function missingStrength({ demand }: Situation): Alternative | undefined {
  const ideal = chooseFilter(commonKit, demand);
  if (ideal.stops === 0 || !fits(ideal.leavesStops, demand)) return undefined;
  return { kind: 'strength-not-in-kit', stops: ideal.stops, factor: factorFromStops(ideal.stops) };
}
