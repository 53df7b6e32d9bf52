import type { PlannedChoice, PlannedExposure, PlanReport } from '../../domain/logbook.ts';
import { displayText } from '../../domain/displayText.ts';
import { counted, formatDuration, formatExposure, formatRate } from '../format.ts';
import { plainTable } from './plainTable.ts';

const directions = { away: 'front light', across: 'side light', toward: 'back light' } as const;
const mostChoices = 5;

/** A plan for a terminal: the light to expect, then for each exposure what to fit, keep and swap. */
export function planText(plan: PlanReport): string {
  if (plan.moments[0]?.clock === undefined) return byHeight(plan);
  return [`${lightText(plan)}\n`, ...plan.exposures.map((one) => exposureText(one))].join('\n');
}

/** Without a time: what to fit at which height of the sun. */
function byHeight(plan: PlanReport): string {
  const { moments, exposures, sky } = plan;
  const rows = moments.map(({ elevationDegrees }, at) => [
    heightText(elevationDegrees),
    ...exposures.map(
      ({ moments: picks }) => `${picks[at]!.label} ${percent(picks[at]!.probability).padStart(4)}`,
    ),
  ]);
  const head = ['sun', ...exposures.map(exposureName)];
  return `By the height of the sun, sky ${sky ?? 'not known'}: the filter to fit and the chance that shutter and exposure land.\n${settingsText(plan)}\n${basisSentence(plan)}\n\n${plainTable([head, ...rows])}`;
}

function settingsText({ fNumber, iso, camera }: PlanReport): string {
  return `For f/${Number(fNumber.toFixed(1))} and ISO ${iso}${camera === undefined ? '' : ` with ${displayText(camera)}`}.`;
}

/** Where the numbers come from, in a sentence. */
export function basisSentence({ observations, flights }: PlanReport): string {
  return observations === 0
    ? 'Nothing was learned yet, so this rests on published daylight alone.'
    : `It rests on published daylight and ${counted(observations, 'recording')} of ${counted(flights, 'flight')} of yours.`;
}

/** How the time was understood where it carried no offset. */
export function timeSentence({ timeBasis, offsetMinutes }: PlanReport): string | undefined {
  if (timeBasis === undefined || timeBasis === 'recorded' || offsetMinutes === undefined) return undefined;
  const zone = `UTC${offsetMinutes < 0 ? '\u2212' : '+'}${hoursText(Math.abs(offsetMinutes))}`;
  return timeBasis === 'computer-zone'
    ? `The time is taken as that of this computer's zone (${zone}).`
    : `The time is taken as ${zone}, by the longitude: this computer is set to another part of the world.`;
}

function hoursText(minutes: number): string {
  return `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, '0')}`;
}

function lightText(plan: PlanReport): string {
  const { moments, place, sky } = plan;
  const [first, last] = [moments[0]!, moments.at(-1)!];
  const where = place === undefined ? '' : ` at ${displayText(place)}`;
  const times = [...new Set([first.clock, last.clock])].filter((clock) => clock !== undefined).join(' to ');
  const heights = [...new Set([first, last].map(({ elevationDegrees }) => heightText(elevationDegrees)))];
  const { median, low, high } = first.sceneEv100;
  const facing = first.direction === undefined ? '' : `, ${directions[first.direction]}`;
  return [
    `${times}${where}: sun at ${heights.join(' to ')}, sky ${sky ?? 'not known'}${facing}.${plan.sunsetClock === undefined ? '' : ` The sun sets at ${plan.sunsetClock}.`}`,
    `Light on the scene: EV ${median.toFixed(1)} at ISO 100, nine times of ten ${low.toFixed(1)} to ${high.toFixed(1)}.`,
    settingsText(plan),
    basisSentence(plan),
    timeSentence(plan) ?? '',
  ]
    .filter((part) => part !== '')
    .join('\n');
}

function exposureText(exposure: PlannedExposure): string {
  const { pick, second, swaps, choices } = exposure;
  const rows = choices
    .slice(0, mostChoices)
    .map((choice) => [`   ${choice.label}`, strengthText(choice), percent(choice.probability)]);
  const sentences = [
    `Fit ${pick.label === 'none' ? 'no filter' : pick.label}: shutter and exposure land with ${percent(pick.probability)}.`,
    pick.probability < hopeless ? hopelessText(pick) : '',
    second === undefined ? '' : `Keep ${second.label} in the pocket.`,
    ...swaps.map(({ clock, from, to }) => `At ${clock} swap ${from} for ${to}.`),
  ];
  return `${exposureName(exposure)}: ${sentences.filter((part) => part !== '').join(' ')}\n${plainTable(rows)}`;
}

/** Below this, saying only which filter would hide that none helps. */
const hopeless = 0.1;

function hopelessText({ label }: PlannedChoice): string {
  return label === 'none'
    ? 'It will be too dark for this exposure at this ISO.'
    : 'None of your filters fits this light: raise the frame rate, stop down, or carry a stronger one.';
}

/** @example exposureName({ framesPerSecond: 25, targetSeconds: 1 / 50 }) // '25 fps, 1/50 s' */
export function exposureName(
  exposure: Pick<PlannedExposure, 'framesPerSecond' | 'intervalSeconds' | 'targetSeconds'>,
): string {
  const { framesPerSecond, intervalSeconds, targetSeconds } = exposure;
  const time = formatExposure(targetSeconds);
  if (framesPerSecond !== undefined) return `${formatRate(framesPerSecond)} fps, ${time}`;
  return intervalSeconds === undefined
    ? `Long exposure, ${time}`
    : `Every ${formatDuration(intervalSeconds)}, ${time}`;
}

function strengthText({ stops, calibrated, label }: PlannedChoice): string {
  if (label === 'none') return '';
  return `${stops.toFixed(1)} stops${calibrated ? ', as measured' : ''}`;
}

/** @example heightText(-2.7) // '−3°' */
export function heightText(elevationDegrees: number): string {
  return `${Math.round(elevationDegrees)}°`.replace('-', '\u2212');
}

/** @example percent(0.834) // '83%' */
export function percent(probability: number): string {
  const whole = Math.round(probability * 100);
  return whole === 0 && probability > 0 ? '<1%' : `${whole === 100 && probability < 1 ? '>99' : whole}%`;
}
