import type { FilterPick } from '../domain/advice.ts';
import type { FittedFilter } from '../domain/kit.ts';
import type { ReportedFilter } from '../domain/report.ts';
import { formatStops, stopsInWords } from './format.ts';

/** What to carry instead, with what it would have left and how sure that is; undefined where nothing can be said. */
export function filterText(filter: ReportedFilter): string | undefined {
  const { fitted, neededStops, additionalStops, pick } = filter;
  if (neededStops !== undefined && fitted !== undefined) {
    const needed = `${neededText(neededStops)} and ${fittedText(fitted)}${certainty(filter)}.`;
    return pick === undefined ? needed : `${pickText(pick, fitted)} ${needed}`;
  }
  if (additionalStops === undefined) return undefined;
  const change = `${stopsInWords(additionalStops)} ${additionalStops < 0 ? 'less' : 'more'} filter`;
  return `It needed ${change} than was on the lens${certainty(filter)}. What was on the lens is not known, so none can be named.`;
}

/** The filter to carry in a few characters: its label, or the change where what was fitted is unknown. */
export function filterInShort(filter: ReportedFilter | undefined): string | undefined {
  if (filter?.pick !== undefined) return filter.pick.stops === 0 ? 'none' : filter.pick.label;
  if (filter?.additionalStops === undefined) return undefined;
  return `${formatStops(filter.additionalStops)} stops`;
}

function neededText(neededStops: number): string {
  if (neededStops < 0.05) return 'No filter was needed';
  return `${stopsInWords(neededStops)} of filter ${stopsInWords(neededStops) === '1 stop' ? 'was' : 'were'} needed`;
}

function fittedText({ label, stops }: FittedFilter): string {
  return stops === 0 ? 'none was fitted' : `${label} took ${stopsInWords(stops)}`;
}

function certainty({ basis, uncertaintyStops }: ReportedFilter): string {
  if (basis === undefined) return '';
  const spread = uncertaintyStops === undefined ? '' : `, give or take ${stopsInWords(uncertaintyStops)}`;
  return ` (from the ${basis}${spread})`;
}

function pickText({ label, stops, leavesStops }: FilterPick, fitted: FittedFilter): string {
  const level =
    formatStops(leavesStops) === '0.0'
      ? 'right'
      : `${stopsInWords(leavesStops)} ${leavesStops > 0 ? 'over' : 'under'}`;
  if (label === fitted.label)
    return `${label} was the best of the kit: with shutter and ISO on target the exposure would be ${level}.`;
  const carry = stops === 0 ? 'Fly without a filter' : `Carry ${label} (${stopsInWords(stops)})`;
  return `${carry}: with shutter and ISO on target the exposure would be ${level}.`;
}
