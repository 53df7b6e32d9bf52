import { displayText } from '../../domain/displayText.ts';
import {
  formatDuration,
  formatExposure,
  formatRate,
  counted,
  formatAperture,
  formatEv,
} from '../../domain/format.ts';
import { groupedBy } from '../../domain/grouping.ts';
import type { PlannedExposure, PlanReport } from '../../domain/planReport.ts';
import { textTable } from '../table.ts';
import { paragraphLines, textWidth } from '../terminalText.ts';
import { page } from './pageShell.tsx';

const directions = { away: 'front light', across: 'side light', toward: 'back light' } as const;
const mostChoices = 5;

/** A plan for a terminal: the light to expect, then for each exposure what to fit, keep and swap. */
export function planText(plan: PlanReport, columns: number): string {
  if (plan.moments[0]?.clock === undefined) return byHeight(plan, columns);
  const light = lightLines(plan).map((line) => paragraph(line, columns));
  const exposures = headedExposures(plan.exposures).map(({ heading, exposure }) =>
    exposureText(heading, exposure, columns),
  );
  return [light.join(''), ...exposures].join('\n');
}

function paragraph(text: string, columns: number): string {
  return `${paragraphLines(text, { columns }).join('\n')}\n`;
}

/** Without a time: what to fit at which height of the sun. */
function byHeight(plan: PlanReport, columns: number): string {
  const { moments, sky } = plan;
  const headed = headedExposures(plan.exposures);
  const rows = moments.map(({ elevationDegrees }, at) => [
    heightText(elevationDegrees),
    ...headed.map(({ exposure }) => pickCell(exposure, at)),
  ]);
  const head = ['sun', ...headed.map(({ heading }) => heading)];
  const about = [
    `By the height of the sun, sky ${sky ?? 'not known'}: the filter to fit and the chance that shutter and exposure land.`,
    settingsText(plan),
    basisSentence(plan),
  ].map((line) => paragraph(line, columns));
  return `${about.join('')}\n${textTable([head, ...rows])}`;
}

/** Label and chance, each below the others of its column. */
function pickCell({ moments }: PlannedExposure, at: number): string {
  const { label, probability } = moments[at]!;
  const blank = ' '.repeat(Math.max(...moments.map((each) => textWidth(each.label))) - textWidth(label));
  return `${label}${blank} ${percent(probability).padStart(4)}`;
}

function settingsText({ fNumber, iso, camera }: PlanReport): string {
  return `For ${formatAperture(fNumber)} and ISO ${iso}${camera === undefined ? '' : ` with ${displayText(camera)}`}.`;
}

function basisSentence({ observations, flights }: PlanReport): string {
  return observations === 0
    ? 'Nothing was learned yet, so this rests on published daylight alone.'
    : `It rests on published daylight and ${counted(observations, 'recording')} of ${counted(flights, 'flight')} of yours.`;
}

/** How the time was understood where it carried no offset. */
function timeSentence({ timeBasis, offsetMinutes }: PlanReport): string | undefined {
  if (timeBasis === undefined || timeBasis === 'recorded' || offsetMinutes === undefined) return undefined;
  const minutes = Math.abs(offsetMinutes);
  const hours = Math.floor(minutes / 60);
  const zone = `UTC${offsetMinutes < 0 ? '\u2212' : '+'}${hours}:${String(minutes % 60).padStart(2, '0')}`;
  return timeBasis === 'computer-zone'
    ? `The time is taken as that of this computer's zone (${zone}).`
    : `The time is taken as ${zone}, by the longitude: this computer is set to another part of the world.`;
}

function lightLines(plan: PlanReport): readonly string[] {
  const { moments, place, sky } = plan;
  const [first, last] = [moments[0]!, moments.at(-1)!];
  const where = place === undefined ? '' : ` at ${displayText(place)}`;
  const times = [...new Set([first.clock, last.clock])].filter((clock) => clock !== undefined).join(' to ');
  const heights = [...new Set([first, last].map(({ elevationDegrees }) => heightText(elevationDegrees)))];
  const { median, low, high } = first.sceneEv100;
  const facing = first.direction === undefined ? '' : `, ${directions[first.direction]}`;
  return [
    `${times}${where}: sun at ${heights.join(' to ')}, sky ${sky ?? 'not known'}${facing}.${plan.sunsetClock === undefined ? '' : ` The sun sets at ${plan.sunsetClock}.`}`,
    `Light on the scene: EV ${formatEv(median)} at ISO 100, nine times of ten ${formatEv(low)} to ${formatEv(high)}.`,
    settingsText(plan),
    basisSentence(plan),
    timeSentence(plan) ?? '',
  ].filter((part) => part !== '');
}

function exposureText(heading: string, exposure: PlannedExposure, columns: number): string {
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
  const about = `${heading}: ${sentences.filter((part) => part !== '').join(' ')}`;
  return `${paragraph(about, columns)}${textTable(rows)}`;
}

/** Below this, saying only which filter would hide that none helps. */
const hopeless = 0.1;

function hopelessText({ label }: PlannedExposure['pick']): string {
  return label === 'none'
    ? 'It will be too dark for this exposure at this ISO.'
    : 'None of your filters fits this light: raise the frame rate, stop down, or carry a stronger one.';
}

function strengthText({ stops, calibrated, label }: PlannedExposure['pick']): string {
  if (label === 'none') return '';
  return `${stops.toFixed(1)} stops${calibrated ? ', as measured' : ''}`;
}

/** @example heightText(-2.7) // '−3°' */
export function heightText(elevationDegrees: number): string {
  return `${Math.round(elevationDegrees)}°`.replace('-', '\u2212');
}

function percent(probability: number): string {
  const rounded = Math.round(probability * 100);
  return rounded === 0 && probability > 0
    ? '<1%'
    : `${rounded === 100 && probability < 1 ? '>99' : rounded}%`;
}

/** Each exposure once: rates that are shot with the same marked shutter, such as 29.97 and 30, share their filters. */
function headedExposures(exposures: readonly PlannedExposure[]) {
  const groups = groupedBy(exposures, ({ framesPerSecond, targetSeconds }) =>
    framesPerSecond === undefined ? targetSeconds : formatExposure(targetSeconds),
  );
  return [...groups.values()].map((group) => ({ heading: headingOf(group), exposure: group[0]! }));
}

function headingOf(group: readonly PlannedExposure[]): string {
  const { framesPerSecond, intervalSeconds, targetSeconds } = group[0]!;
  const time = formatExposure(targetSeconds);
  if (framesPerSecond !== undefined)
    return `${group.map((each) => formatRate(each.framesPerSecond ?? 0)).join(' or ')} fps, ${time}`;
  return intervalSeconds === undefined
    ? `Long exposure, ${time}`
    : `Every ${formatDuration(intervalSeconds)}, ${time}`;
}

/** One sheet for the filter case: dark figures on white, readable in the sun, nothing that needs ink. */
const style = `
* { box-sizing: border-box; margin: 0; padding: 0; }
body { background: #fff; color: #111; font: 11pt/1.4 ui-sans-serif, system-ui, sans-serif; }
main { max-width: 46rem; margin: 0 auto; padding: 1.5rem; }
h1 { font: 600 16pt/1.2 ui-serif, Georgia, serif; margin-bottom: .3rem; }
p { color: #444; font-size: 9.5pt; }
table { border-collapse: collapse; width: 100%; margin: .9rem 0; font-variant-numeric: tabular-nums; }
th { text-align: left; font-weight: 500; font-size: 9pt; color: #444; vertical-align: bottom; }
th, td { padding: .3rem .5rem .3rem 0; border-bottom: 1px solid #bbb; }
tbody th { font-size: 11pt; color: #111; white-space: nowrap; vertical-align: baseline; }
td b { font-size: 12.5pt; font-weight: 650; }
td span { color: #555; font-size: 8.5pt; padding-left: .3rem; }
td.swap b { text-decoration: underline; text-underline-offset: .2em; }
@media screen and (max-width: 34rem) { main { padding: 1rem; } td span { display: block; padding: 0; } }
@page { margin: 12mm; }
@media print { main { padding: 0; max-width: none; } tr { break-inside: avoid; } }
`;

/** A card for one page: rows are clock times or heights of the sun, columns what is shot. */
export function fieldCard(plan: PlanReport): string {
  const { moments, place, sky, fNumber, iso } = plan;
  const headed = headedExposures(plan.exposures);
  const byClock = moments[0]?.clock !== undefined;
  const title = place === undefined ? 'Filters' : `Filters · ${displayText(place)}`;
  return page({
    title,
    style,
    children: (
      <>
        <h1>{title}</h1>
        <p>
          {`Sky ${sky ?? 'not known'}, ${formatAperture(fNumber)}, ISO ${iso}. The filter to fit, and the chance that shutter and exposure land.`}
        </p>
        <table>
          <thead>
            <tr>
              <th scope="col">{byClock ? 'Time' : 'Sun above the horizon'}</th>
              {headed.map(({ heading }) => (
                <th scope="col">{heading.replace(/ (?=s$)/, '\u00a0')}</th>
              ))}
            </tr>
          </thead>
          <tbody>
            {moments.map(({ clock, elevationDegrees }, at) => (
              <tr>
                <th scope="row">{clock ?? heightText(elevationDegrees)}</th>
                {headed.map(({ exposure }) => cell(exposure, at, byClock))}
              </tr>
            ))}
          </tbody>
        </table>
        <p>{[basisSentence(plan), timeSentence(plan), cautions].filter(Boolean).join(' ')}</p>
      </>
    ),
  });
}

const cautions =
  'Power the aircraft down before you touch a filter. A filter is no solar viewer. Local rules come first.';

/** A swap is underlined, so that it shows without colour. */
function cell({ moments }: PlannedExposure, at: number, byClock: boolean) {
  const { label, probability } = moments[at]!;
  const swap = byClock && at > 0 && moments[at - 1]!.label !== label;
  return (
    <td class={swap ? 'swap' : undefined}>
      <b>{displayText(label)}</b>
      <span>{percent(probability)}</span>
    </td>
  );
}
