import type { Alternative } from '../domain/advice.ts';
import { factorFromStops } from '../domain/filter.ts';
import { chooseFilter, fits } from './choose.ts';
import { commonKit } from './commonKit.ts';
import {
  darkerByShutter,
  otherFrameRate,
  raisedIso,
  secondBaseIso,
  shutterWithinTolerance,
  stoppedDown,
} from './otherSettings.ts';
import { pairsOf } from './pairs.ts';
import type { Situation } from './situation.ts';

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
