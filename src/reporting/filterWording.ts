import type { FilterPick } from '../domain/advice.ts';
import type { FittedFilter } from '../domain/kit.ts';
import type { ReportedFilter } from '../domain/report.ts';
import { formatStops, stopsInWords } from './format.ts';

/** What to carry instead, with what it would have left and how sure that is; undefined where nothing can be said. */
export function filterText(filter: ReportedFilter): string | undefined {
  const { fitted, neededStops, additionalStops, pick, change } = filter;
  if (neededStops !== undefined && fitted !== undefined) {
    const needed = `${neededText(neededStops)} and ${fittedText(fitted)}${certainty(filter)}.`;
    return pick === undefined ? needed : `${pickText(pick, fitted)} ${needed}`;
  }
  if (additionalStops === undefined) return undefined;
  if (change === 'none') return `What was on the lens was right${certainty(filter)}.`;
  const amount = stopsInWords(additionalStops);
  if (change === 'weaker')
    return `What was on the lens took ${amount} too much${certainty(filter)}: carry one that much weaker.`;
  const bare =
    pick === undefined
      ? ''
      : `If nothing was on the lens: carry ${pick.label}, which leaves it ${levelText(pick)}. `;
  return `${amount} of light too much came in${certainty(filter)}. ${bare}If a filter was on: take one ${amount} stronger.`;
}

/** The filter to carry in a few characters: its label, or the change where what was fitted is unknown. */
export function filterInShort(filter: ReportedFilter | undefined): string | undefined {
  if (filter?.pick !== undefined && filter.change !== 'none')
    return filter.pick.stops === 0 ? 'none' : filter.pick.label;
  if (filter?.additionalStops === undefined) return undefined;
  if (filter.change === 'none') return filter.fitted?.label ?? 'same';
  return `${formatStops(filter.additionalStops)} stops`;
}

function neededText(neededStops: number): string {
  if (neededStops < 0.05) return 'No filter was needed';
  return `${stopsInWords(neededStops)} of filter ${stopsInWords(neededStops) === '1 stop' ? 'was' : 'were'} needed`;
}

function fittedText({ label, stops }: FittedFilter): string {
  return stops === 0 ? 'none was fitted' : `${label} took ${stopsInWords(stops)}`;
}

function certainty({ basis, uncertaintyStops, keepsIso }: ReportedFilter): string {
  if (basis === undefined) return '';
  const iso = keepsIso === true ? ', ISO taken as unchanged' : '';
  const spread = uncertaintyStops === undefined ? '' : `, give or take ${stopsInWords(uncertaintyStops)}`;
  return ` (from the ${basis}${iso}${spread})`;
}

function levelText({ leavesStops }: FilterPick): string {
  if (formatStops(leavesStops) === '0.0') return 'right';
  return `${stopsInWords(leavesStops)} ${leavesStops > 0 ? 'over' : 'under'}`;
}

function pickText(pick: FilterPick, fitted: FittedFilter): string {
  const { label, stops } = pick;
  const level = levelText(pick);
  if (label === fitted.label)
    return `${label} was the best of the kit: with shutter and ISO on target the exposure would be ${level}.`;
  const carry = stops === 0 ? 'Fly without a filter' : `Carry ${label} (${stopsInWords(stops)})`;
  return `${carry}: with shutter and ISO on target the exposure would be ${level}.`;
}
