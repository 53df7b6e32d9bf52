import type { FilterPick, HighlightsWant } from '../domain/advice.ts';
import type { FittedFilter } from '../domain/kit.ts';
import type { ReportedFilter } from '../domain/report.ts';
import { formatPercent, formatStops, stopsInWords } from './format.ts';

/** What to carry instead, with what it would have left and how sure that is; undefined where nothing can be said. */
export function filterText(filter: ReportedFilter): string | undefined {
  const { fitted, neededStops, additionalStops, pick, change } = filter;
  if (neededStops !== undefined && fitted !== undefined) {
    const needed = `${neededText(neededStops)} and ${fittedText(fitted)}${certainty(filter)}.`;
    return joined([pick && pickText(pick, fitted, filter.highlights), needed, ...reasons(filter)]);
  }
  if (additionalStops === undefined) return undefined;
  if (change === 'none')
    return joined([`What was on the lens was right${certainty(filter)}.`, ...reasons(filter)]);
  const amount = stopsInWords(additionalStops);
  if (change === 'weaker')
    return joined([
      `What was on the lens took ${amount} too much${certainty(filter)}: carry one that much weaker.`,
      ...reasons(filter),
    ]);
  const bare =
    pick === undefined
      ? ''
      : `If nothing was on the lens: carry ${setTo(pick)}, which leaves it ${levelText(pick)}. `;
  return joined([
    `${amount} of light too much came in${certainty(filter)}. ${bare}If a filter was on: take one ${amount} stronger.`,
    ...reasons(filter),
  ]);
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

function pickText(pick: FilterPick, fitted: FittedFilter, highlights: HighlightsWant | undefined): string {
  const { label, stops } = pick;
  const would = `with shutter and ISO on target the exposure would be ${wantedLevelText(pick, highlights)}.`;
  if (label === fitted.label) return `${label} was the best of the kit: ${would}`;
  const strength = pick.variable === true ? setTo(pick) : `${label} (${stopsInWords(stops)})`;
  return `${stops === 0 ? 'Fly without a filter' : `Carry ${strength}`}: ${would}`;
}

/** By meter or mean, also where the highlights want another exposure than those. */
function wantedLevelText(pick: FilterPick, highlights: HighlightsWant | undefined): string {
  if (highlights === undefined) return levelText(pick);
  const leavesStops = pick.leavesStops + highlights.offsetStops;
  const wants = `${stopsInWords(highlights.offsetStops)} under`;
  return `${levelText({ ...pick, leavesStops })} by meter or mean; the highlights want it ${wants}`;
}

function setTo({ label, stops, variable }: FilterPick): string {
  return variable === true ? `${label}, set to about ${stopsInWords(stops)}` : label;
}

/** Why the advice is not what meter and shutter alone ask for. */
function reasons({ highlights, lightSpanStops, pick, meterAndPicture }: ReportedFilter): readonly string[] {
  return [
    ...(highlights === undefined ? [] : [highlightsText(highlights)]),
    ...(lightSpanStops === undefined ? [] : [lightSpanText(lightSpanStops, pick)]),
    ...(meterAndPicture === undefined
      ? []
      : [
          `Meter and picture differ: ${formatStops(meterAndPicture.meteredStops)} by the meter, ` +
            `${formatStops(meterAndPicture.pictureStops)} by the mean of the picture; the meter was used.`,
        ]),
  ];
}

function highlightsText({ offsetStops, burntFraction, firstStep, beyondStops }: HighlightsWant): string {
  const amount = stopsInWords(offsetStops);
  if (burntFraction === undefined)
    return `The highlights leave no room for more: the picture belongs ${amount} under what the meter wants.`;
  const step =
    firstStep === true ? ' That is a first step: what burnt does not show how far over it was.' : '';
  const beyond =
    beyondStops === undefined
      ? ''
      : ` To hold all of it would take about ${stopsInWords(beyondStops)} more, and the lift would show as noise: let the rest burn, or bracket.`;
  return `Exposed for the ${formatPercent(burntFraction)} that burns, the rest comes out dark: lift it in the edit.${step}${beyond}`;
}

function lightSpanText(lightSpanStops: number, pick: FilterPick | undefined): string {
  const darkest =
    pick?.darkestLeavesStops === undefined
      ? ''
      : `; the darkest would then be ${levelText({ ...pick, leavesStops: pick.darkestLeavesStops })}`;
  return `The light changed by ${stopsInWords(lightSpanStops)} during the clip, and the brightest part that lasts counts${darkest}.`;
}

function joined(parts: readonly (string | undefined)[]): string {
  return parts.filter((part) => part !== undefined).join(' ');
}
