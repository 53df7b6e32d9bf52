import { displayText } from '../../domain/displayText.ts';
import {
  counted,
  formatAperture,
  formatDuration,
  formatEv,
  formatExposure,
  formatRate,
} from '../../domain/format.ts';
import { groupedBy } from '../../domain/grouping.ts';
import type { PlannedChoice, PlannedExposure, PlanReport } from '../../domain/planReport.ts';
import { cautionLine } from '../dumpWording.ts';
import { textTable } from '../table.ts';
import { paragraphLines, textWidth } from '../terminalText.ts';
import { page } from './pageShell.tsx';

const directions = { away: 'front light', across: 'side light', toward: 'back light' } as const;

/** A plan for a terminal: the light to expect, then for each exposure what to fit, what to keep, when to change. */
export function planText(plan: PlanReport, columns: number): string {
  const paragraph = (text: string) => `${paragraphLines(text, { columns }).join('\n')}\n`;
  if (plan.moments[0]?.clock === undefined) return byHeight(plan, paragraph);
  const worded = headedExposures(plan.exposures).map(({ heading, exposure }) => ({
    heading,
    sentences: exposureSentences(exposure, plan).join(' '),
  }));
  const exposures = [...groupedBy(worded, ({ sentences }) => sentences)].map(([sentences, alike]) =>
    paragraph(`${alike.map(({ heading }) => heading).join('; ')}: ${sentences}`),
  );
  const light = lightLines(plan).map(paragraph).join('');
  const closing = advisesFilter(plan) ? [paragraph(cautionLine)] : [];
  return [light, exposures.join(''), ...closing].join('\n');
}

type Paragraph = (text: string) => string;

/** Without a time: what to fit at which height of the sun. */
function byHeight(plan: PlanReport, paragraph: Paragraph): string {
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
  ];
  return `${about.map(paragraph).join('')}\n${textTable([head, ...rows])}\n${paragraph(cautionLine)}`;
}

/** Label and chance, each below the others of its column. */
function pickCell({ moments }: PlannedExposure, at: number): string {
  const { label, probability } = moments[at]!;
  const blank = ' '.repeat(Math.max(...moments.map((each) => textWidth(each.label))) - textWidth(label));
  return `${label}${blank} ${percent(probability).padStart(4)}`;
}

function settingsText({ fNumber, iso, camera, pitchDegrees }: PlanReport): string {
  const looks =
    pitchDegrees === undefined
      ? ''
      : pitchDegrees < -60
        ? ', looking straight down'
        : pitchDegrees < -25
          ? ', looking down at an angle'
          : ', looking ahead';
  return `For ${formatAperture(fNumber)} and ISO ${iso}${camera === undefined ? '' : ` with ${displayText(camera)}`}${looks}.`;
}

/** Fewer flights than this hardly move what was published. */
const fewFlights = 3;

function basisSentence({ observations, flights }: PlanReport): string {
  const basis =
    observations === 0
      ? 'Nothing was learned yet, so this rests on published daylight alone'
      : `It rests on published daylight and ${counted(observations, 'recording')} of ${counted(flights, 'flight')} of yours`;
  return flights < fewFlights ? `${basis}: too little is known for more than a good guess.` : `${basis}.`;
}

/** How the time was understood where it carried no offset. */
function timeSentence({ timeBasis, offsetMinutes, zone }: PlanReport): string | undefined {
  if (timeBasis === undefined || timeBasis === 'recorded' || offsetMinutes === undefined) return undefined;
  const minutes = Math.abs(offsetMinutes);
  const offset = `UTC${offsetMinutes < 0 ? '\u2212' : '+'}${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, '0')}`;
  if (timeBasis === 'named-zone') return `Times are those of ${zone} (${offset}).`;
  return timeBasis === 'computer-zone'
    ? `Times are those of this computer's zone (${offset}).`
    : `The zone is guessed from the longitude (${offset}), without summer time: an hour off is likely. --zone names the right one.`;
}

function lightLines(plan: PlanReport): readonly string[] {
  const { moments, place, isAtLastPlace, sky, date, sunsetClock } = plan;
  const [first, last] = [moments[0]!, moments.at(-1)!];
  const where = place === undefined ? '' : ` at ${displayText(place)}`;
  const unasked = isAtLastPlace === true ? ', where you flew last' : '';
  const times = [...new Set([first.clock, last.clock])].filter((clock) => clock !== undefined).join(' to ');
  const heights = [...new Set([first, last].map(({ elevationDegrees }) => heightText(elevationDegrees)))];
  const { median, low, high } = first.sceneEv100;
  const facing = first.direction === undefined ? '' : `, ${directions[first.direction]}`;
  return [
    `${date === undefined ? '' : `${date}, `}${times}${where}${unasked}: sun at ${heights.join(' to ')}, sky ${sky ?? 'not known'}${facing}.${sunsetClock === undefined ? '' : ` The sun sets at ${sunsetClock}.`}`,
    isNight(first)
      ? `${sunsetClock === undefined ? 'The sun does not rise that day' : 'It is night'}: the sky gives no light to plan with.`
      : `Light on the scene: EV ${formatEv(median)} at ISO 100, nine times of ten ${formatEv(low)} to ${formatEv(high)}.`,
    settingsText(plan),
    basisSentence(plan),
    timeSentence(plan) ?? '',
  ].filter((part) => part !== '');
}

/** Below the end of civil twilight lamps give more light than the sky. */
const nightDegrees = -6;

function isNight({ elevationDegrees }: PlanReport['moments'][number]): boolean {
  return elevationDegrees < nightDegrees;
}

function exposureSentences(exposure: PlannedExposure, { moments }: PlanReport): readonly string[] {
  const { pick, second, eitherProbability, darkIso, missingStops, swaps } = exposure;
  if (darkIso !== undefined)
    return [
      `Fit no filter: ${isNight(moments[0]!) ? 'lit buildings' : 'it is dark, and this'} would take ISO ${darkIso}${darkIso > noisyIso ? ', which is noisy' : ''}.`,
    ];
  const fit =
    second === undefined
      ? `Fit ${choiceText(pick)}: it lands with ${percent(pick.probability)}.`
      : `Fit ${choiceText(pick)} and keep ${choiceText(second)} in the pocket: one of the two lands with ${percent(eitherProbability)}, the first with ${percent(pick.probability)}.`;
  return [
    ...(missingStops === undefined
      ? []
      : [`Your strongest filter is too weak: about ${counted(missingStops, 'stop')} would be needed.`]),
    fit,
    ...swaps.map(({ clock, from, to, settingStops }) =>
      from === to
        ? `At ${clock} turn ${to} to ${counted(settingStops ?? 0, 'stop')}.`
        : `At ${clock} change to ${choiceText({ label: to, stops: settingStops ?? 0, isSetting: settingStops !== undefined })}.`,
    ),
  ];
}

/** Beyond this, footage of small sensors is noisy; common practice, no source. */
const noisyIso = 1600;

function choiceText({
  label,
  stops,
  isSetting,
}: Pick<PlannedChoice, 'label' | 'stops' | 'isSetting'>): string {
  if (label === 'none') return 'no filter';
  return isSetting === true ? `${label} set to ${counted(stops, 'stop')}` : label;
}

function advisesFilter({ exposures }: PlanReport): boolean {
  return exposures.some(
    ({ pick, swaps, darkIso }) => darkIso === undefined && (pick.label !== 'none' || swaps.length > 0),
  );
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

/** As large as a palm: dark figures on white, readable in the sun, nothing that needs ink. */
const style = `
* { box-sizing: border-box; margin: 0; padding: 0; }
body { background: #fff; color: #111; font: 10pt/1.35 ui-sans-serif, system-ui, sans-serif; }
main { max-width: 24rem; margin: 0 auto; padding: 1rem; }
h1 { font: 600 13pt/1.2 ui-serif, Georgia, serif; }
h2 { font-size: 9pt; font-weight: 600; margin-top: .6rem; }
p { color: #444; font-size: 8.5pt; }
table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums; }
th { text-align: left; font-weight: 500; white-space: nowrap; width: 1%; }
th, td { padding: .15rem .8rem .15rem 0; border-bottom: 1px solid #bbb; vertical-align: baseline; }
td b { font-size: 12pt; font-weight: 650; }
td span { color: #555; font-size: 8pt; padding-left: .4rem; }
p.foot { margin-top: .6rem; }
@page { margin: 12mm; }
@media print { main { padding: 0; margin: 0; } }
`;

/** A card for the filter case: a line for each change, by the clock or by the height of the sun. */
export function fieldCard(plan: PlanReport): string {
  const { place, sky, fNumber, iso, camera, date } = plan;
  const title = ['Filters', place === undefined ? undefined : displayText(place), date]
    .filter((part) => part !== undefined)
    .join(' · ');
  const settings = [
    camera === undefined ? undefined : displayText(camera),
    `sky ${sky ?? 'not known'}`,
    formatAperture(fNumber),
    `ISO ${iso}`,
  ].filter((part) => part !== undefined);
  return page({
    title,
    style,
    children: (
      <>
        <h1>{title}</h1>
        <p>{settings.join(', ')}</p>
        {headedExposures(plan.exposures).map(({ heading, exposure }) => (
          <section>
            <h2>{heading.replace(/ (?=s$)/, '\u00a0')}</h2>
            <table>
              <tbody>
                {cardRows(plan, exposure).map(({ when, what, note }) => (
                  <tr>
                    <th scope="row">{when}</th>
                    <td>
                      <b>{displayText(what)}</b>
                      <span>{displayText(note)}</span>
                    </td>
                  </tr>
                ))}
              </tbody>
            </table>
          </section>
        ))}
        <p class="foot">
          {[basisSentence(plan), timeSentence(plan), advisesFilter(plan) && cautionLine]
            .filter(Boolean)
            .join(' ')}
        </p>
      </>
    ),
  });
}

interface CardRow {
  readonly when: string;
  readonly what: string;
  readonly note: string;
}

function cardRows({ moments }: PlanReport, exposure: PlannedExposure): readonly CardRow[] {
  const { pick, second, eitherProbability, swaps, darkIso } = exposure;
  const start = moments[0]?.clock;
  if (start === undefined) return heightRows(moments, exposure);
  if (darkIso !== undefined) return [{ when: start, what: 'no filter', note: `ISO ${darkIso}` }];
  const pocket =
    second === undefined
      ? ''
      : `pocket ${choiceText(second)}: one of the two lands with ${percent(eitherProbability)}`;
  return [
    { when: start, what: choiceText(pick), note: pocket },
    ...swaps.map(({ clock, to, settingStops }) => ({
      when: clock,
      what: choiceText({ label: to, stops: settingStops ?? 0, isSetting: settingStops !== undefined }),
      note: '',
    })),
  ];
}

/** Heights with the same filter share a line. */
function heightRows(moments: PlanReport['moments'], exposure: PlannedExposure): readonly CardRow[] {
  const rows: { label: string; degrees: number[]; chances: number[] }[] = [];
  for (const [at, { label, probability }] of exposure.moments.entries()) {
    if (rows.at(-1)?.label !== label) rows.push({ label, degrees: [], chances: [] });
    rows.at(-1)!.degrees.push(moments[at]!.elevationDegrees);
    rows.at(-1)!.chances.push(probability);
  }
  return rows.map(({ label, degrees, chances }) => ({
    when: `sun ${[...new Set([degrees[0]!, degrees.at(-1)!].map(heightText))].join(' to ')}`,
    what: label === 'none' ? 'no filter' : label,
    note: [...new Set([Math.min(...chances), Math.max(...chances)].map(percent))].join(' to '),
  }));
}
