import type { ReportedFilter } from '../document/reportedRecording.ts';
import type { FilterPick, HighlightsWant, Alternative, SeriesAlternative } from '../domain/advice.ts';
import { displayText } from '../domain/displayText.ts';
import {
  counted,
  formatAngle,
  formatAperture,
  formatDuration,
  formatEv,
  formatExposure,
  formatRate,
  formatPercent,
  formatStops,
  stopsInWords,
} from '../domain/format.ts';
import type { FittedFilter } from '../domain/filterKit.ts';
import { pilotsWords, setTo, type Kit } from './carryWording.ts';

/** What to carry, with what it leaves and how sure that is; undefined where nothing can be said. */
export function filterText(filter: ReportedFilter, kit: Kit): string | undefined {
  const { fitted, additionalStops, additionalAtLeastStops } = filter;
  if (additionalAtLeastStops !== undefined) return leastText(additionalAtLeastStops, filter, kit);
  if (fitted === undefined && additionalStops === undefined) return undefined;
  const advice = fitted === undefined ? adviceForUnknown(filter, kit) : adviceForFitted(fitted, filter);
  return [...advice, ...reasons(filter)].filter((part) => part !== undefined).join(' ');
}

function leastText(stops: number, filter: ReportedFilter, kit: Kit): string {
  const amount = stopsInWords(stops);
  const carry =
    filter.fitted === undefined
      ? `Carry at least ${pilotsWords(Math.ceil(Number(stops.toFixed(1))), kit)}.`
      : `Carry a filter at least ${amount} stronger than ${filter.fitted.stops === 0 ? 'none' : filter.fitted.label}.`;
  return `At least ${amount} of light too much came in${certainty(filter)}. ${carry}`;
}

type Parts = readonly (string | undefined)[];

function adviceForFitted(fitted: FittedFilter, filter: ReportedFilter): Parts {
  const { change, pick, neededStops, highlights } = filter;
  const needed = neededStops === undefined ? undefined : neededText(neededStops, fitted, filter);
  if (change === 'none') return [`${nameOf(fitted)} was right${butForBurnt(highlights)}.`, needed];
  return [pick && carryText(pick, fitted, highlights), highlights && costOfHighlights(highlights), needed];
}

function adviceForUnknown(filter: ReportedFilter, kit: Kit): Parts {
  const { change, pick, highlights, lowLightEv100, additionalStops = 0 } = filter;
  if (change === 'none')
    return [`What was on the lens was right${butForBurnt(highlights)}${certainty(filter)}.`];
  const amount = stopsInWords(additionalStops);
  const carry = `Carry ${pilotsWords(additionalStops, kit, pick)}.`;
  if (change === 'weaker' && lowLightEv100 !== undefined)
    return [
      `The light was low, as it is at night and in rooms (EV ${formatEv(lowLightEv100)}), or a filter made it so${certainty(filter)}.`,
      carry,
      'With no filter on, only a higher ISO makes such light bright enough.',
    ];
  if (change === 'weaker')
    return [`What was on the lens took ${amount} too much${certainty(filter)}.`, carry];
  const level = pick && levelAt(pick, highlights);
  return [
    `${amount} of light too much came in${certainty(filter)}.`,
    carry,
    level === undefined || level === rightLevel ? undefined : `The exposure is then ${level}.`,
    highlights && costOfHighlights(highlights),
  ];
}

function butForBurnt(highlights: HighlightsWant | undefined): string {
  const burnt = highlights?.burntFraction;
  return burnt === undefined ? '' : ` but for the ${formatPercent(burnt)} that burns`;
}

/** At the start of a sentence: "No filter comes nearest" would read as its opposite. */
const bareLens = 'A bare lens';

function nameOf({ label, stops }: FittedFilter): string {
  return stops === 0 ? bareLens : label;
}

function carryText(pick: FilterPick, fitted: FittedFilter, highlights: HighlightsWant | undefined): string {
  const leaves = `with shutter and ISO on target it leaves the exposure ${levelAt(pick, highlights)}.`;
  if (pick.label === fitted.label) return `${nameOf(fitted)} was the best of the kit: ${leaves}`;
  if (pick.stops === 0) return `Fly without a filter: ${leaves}`;
  return `Carry ${pick.variable === true ? setTo(pick) : `${pick.label} (${stopsInWords(pick.stops)})`}: ${leaves}`;
}

function neededText(neededStops: number, fitted: FittedFilter, filter: ReportedFilter): string {
  const amount = stopsInWords(neededStops);
  const needed =
    neededStops < 0.05 ? 'No filter was needed' : `${amount} ${amount === '1 stop' ? 'was' : 'were'} needed`;
  const had = fitted.stops === 0 ? 'none was fitted' : `${fitted.label} took ${stopsInWords(fitted.stops)}`;
  return `${needed} and ${had}${certainty(filter)}.`;
}

function certainty({ basis, uncertaintyStops, keepsIso }: ReportedFilter): string {
  if (basis === undefined) return '';
  const spread = uncertaintyStops === undefined ? '' : `give or take ${uncertaintyStops.toFixed(1)}, `;
  return ` (${spread}from the ${basis}${keepsIso === true ? ', ISO taken as unchanged' : ''})`;
}

const rightLevel = 'right';

function levelText(leavesStops: number): string {
  if (formatStops(leavesStops) === '0.0') return rightLevel;
  return `${stopsInWords(leavesStops)} ${leavesStops > 0 ? 'over' : 'under'}`;
}

/** By meter or mean, also where the highlights want another exposure than those. */
function levelAt({ leavesStops }: FilterPick, highlights: HighlightsWant | undefined): string {
  if (highlights === undefined) return levelText(leavesStops);
  const { burntFraction, offsetStops } = highlights;
  const level = levelText(leavesStops + offsetStops);
  if (burntFraction !== undefined) return level;
  const wanted = levelText(offsetStops);
  return level === wanted ? `${level}, as the highlights want` : `${level}; the highlights want ${wanted}`;
}

/** What an exposure for the highlights costs, and what it does not reach. */
function costOfHighlights(highlights: HighlightsWant): string | undefined {
  const { burntFraction, beyondStops, offsetStops } = highlights;
  if (burntFraction === undefined) return undefined;
  const beyond =
    beyondStops === undefined
      ? ''
      : ` Holding all of it takes about ${stopsInWords(beyondStops)} more and shows as noise: let the rest burn.`;
  const lift = offsetStops < 0 ? ' Lift the rest in the edit.' : '';
  return `${heldText(highlights) ?? ''}${lift}${beyond}`.trim();
}

/** How well burnt highlights hold with what is advised. */
export function heldText({
  burntFraction,
  firstStep,
  leastStops,
  holdChance,
  fractionLeft,
}: Omit<HighlightsWant, 'offsetStops'>): string | undefined {
  if (burntFraction === undefined) return undefined;
  const burnt = `the ${formatPercent(burntFraction)} that burns`;
  if (firstStep === true)
    return leastStops === undefined
      ? 'It is a first step: what burnt does not show how far over it was.'
      : `How far over ${burnt} was does not show: at least ${stopsInWords(leastStops)}, most likely. Look again after the next flight.`;
  if (holdChance === undefined) return undefined;
  const chance = Math.min(9, Math.max(1, Math.round(10 * holdChance)));
  const left =
    chance === 9 || fractionLeft === undefined
      ? ''
      : `; in the others up to ${formatPercent(fractionLeft)} stays burnt`;
  return `In ${chance} of 10 pictures like this one that holds all of ${burnt}${left}.`;
}

/** Why the advice is not what meter and shutter alone ask for. */
function reasons({ lightSpanStops, pick, highlights, meterAndPicture }: ReportedFilter): Parts {
  return [
    lightSpanStops === undefined ? undefined : lightSpanText(lightSpanStops, pick, highlights),
    meterAndPicture &&
      `Meter and picture differ: ${formatStops(meterAndPicture.meteredStops)} by the meter, ` +
        `${formatStops(meterAndPicture.pictureStops)} by the mean of the picture; the meter was used.`,
  ];
}

function lightSpanText(
  lightSpanStops: number,
  pick: FilterPick | undefined,
  highlights: HighlightsWant | undefined,
): string {
  const darkest = pick?.darkestLeavesStops;
  const level = darkest === undefined ? undefined : levelText(darkest + (highlights?.offsetStops ?? 0));
  const left = level === undefined ? '' : `; the darkest is then left ${level}`;
  return `The light changed by ${stopsInWords(lightSpanStops)} during the clip, and the brightest part that lasts counts${left}.`;
}

type AnyAlternative = Alternative | SeriesAlternative;
type OfKind<K, Union = AnyAlternative> = Union extends { readonly kind: infer Kinds }
  ? K extends Kinds
    ? Union
    : never
  : never;

const alternativeSentences: {
  readonly [K in AnyAlternative['kind']]: (alternative: OfKind<K>) => string;
} = {
  'nearest-leaves-outside': ({ label, leavesStops }) =>
    `${named(label)} comes nearest in this kit and still leaves the picture ${againstWanted(leavesStops)}.`,
  'second-base-iso': ({ label, iso, leavesStops }) =>
    `${named(label)} at the second base ISO of ${Math.round(iso)} leaves the picture ${againstWanted(leavesStops)}; it costs a little noise.`,
  'raise-iso': ({ label, iso, leavesStops }) =>
    `${named(label)} with ISO raised to ${Math.round(iso)} leaves the picture ${againstWanted(leavesStops)}; it costs noise and room in the highlights.`,
  'stop-down': ({ label, fNumber, leavesStops }) =>
    `${named(label)} with the aperture at ${formatAperture(fNumber)} leaves the picture ${againstWanted(leavesStops)}; ` +
    'it costs nothing but some sharpness where the opening gets very small.',
  'other-frame-rate': ({ label, framesPerSecond, exposureSeconds, leavesStops }) =>
    `${named(label)} at ${formatRate(framesPerSecond)} fps and ${formatExposure(exposureSeconds)} leaves the picture ${againstWanted(leavesStops)}; ` +
    'it costs the frame rate that the rest of the flight has.',
  stack: ({ labels, stops, leavesStops }) =>
    `${named(labels[0])} and ${named(labels[1])} together take ${stopsInWords(stops)} and leave the picture ${againstWanted(leavesStops)}; ` +
    'two filters may darken the corners, add reflections, and weigh on the gimbal.',
  'shutter-within-tolerance': ({ label, exposureSeconds }) =>
    `${named(label)} with ${formatExposure(exposureSeconds)} keeps the shutter within its tolerance; it costs a part of that tolerance.`,
  'darker-by-shutter': ({ label, exposureSeconds, angleDegrees }) =>
    `${named(label)} with ${formatExposure(exposureSeconds)} holds the highlights as well; it costs motion blur, the angle falls to ${formatAngle(angleDegrees)}.`,
  'wait-for-light': ({ label, stops }) =>
    `${named(label)} is enough once the light has sunk by ${stopsInWords(stops)}: a clear sky loses about 1 stop while the sun sinks from ` +
    '60° to 30°, 2 more to 10°, 4 more until it sets. It costs the time, and the light changes its colour.',
  'no-filter-needed': () => 'No filter is needed in this light.',
  'strength-not-in-kit': notInKit,
  'camera-limit': ({ longestSeconds, targetSeconds }) =>
    `The camera exposes for ${formatExposure(longestSeconds)} at most, so ${formatExposure(targetSeconds)} cannot be reached in one frame.`,
  average: ({ count, exposureSeconds }) =>
    `Or take ${counted(count, 'frame')} of ${formatExposure(exposureSeconds)} in each interval and average them: that blurs like one long ` +
    'exposure and lowers the noise; it costs card space, and the pauses between frames may show.',
  'shorter-interval': ({ intervalSeconds }) =>
    `Or take a frame every ${formatDuration(intervalSeconds)} with the exposure as it was: it costs more frames, and the series plays slower.`,
  'series-stack': ({ labels, stops }) =>
    `${named(labels[0])} and ${named(labels[1])} together take ${stopsInWords(stops)}; two filters may darken the corners and weigh on the gimbal.`,
  'series-strength-not-in-kit': notInKit,
};

/** What else would have worked and what it costs, in one or two sentences; over and under by meter or mean, as in the advice. */
export function alternativeText(alternative: AnyAlternative, highlights?: HighlightsWant): string {
  const sentence = alternativeSentences[alternative.kind] as (alternative: AnyAlternative) => string;
  if (highlights === undefined || !('leavesStops' in alternative)) return sentence(alternative);
  return sentence({ ...alternative, leavesStops: alternative.leavesStops + highlights.offsetStops });
}

function notInKit({ stops, factor }: { readonly stops: number; readonly factor: number }): string {
  return `This kit has nothing near ${stopsInWords(stops)} (an ND${Math.round(factor)}); it would have to be bought.`;
}

function named(label: string): string {
  return label === 'none' ? bareLens : displayText(label);
}

function againstWanted(stops: number): string {
  if (Math.abs(stops) < 0.05) return 'as bright as wanted';
  return `${stopsInWords(stops)} ${stops > 0 ? 'over' : 'under'} what is wanted`;
}
