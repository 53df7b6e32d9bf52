import { counted, formatStops } from '../../domain/format.ts';
import type { LearnedCell, LearnedReport, Share } from '../../domain/learned.ts';
import { cautionLine } from '../dumpWording.ts';
import { textTable } from '../table.ts';
import { paragraphLines, shortenMiddle } from '../terminalText.ts';
import { needLines } from './needPlot.ts';

const unknown = '·';
const widestLabel = 14;

/** First what to do differently, then the picture, then the table, then what it rests on. */
export function learnedText(report: LearnedReport, columns: number): string {
  const paragraph = (text: string) => `${paragraphLines(text, { columns }).join('\n')}\n`;
  const lines = needLines(report);
  const picture =
    lines.length === 0 ? '' : `Stops needed against the height of the sun\n${lines.join('\n')}\n`;
  const rows = report.cells.map((cell) => [
    `   ${cell.sun}`,
    cell.sky,
    String(cell.recordings),
    neededText(cell),
    cell.fitted === undefined ? unknown : shortenMiddle(cell.fitted.label, widestLabel),
    cell.fitted === undefined ? unknown : shareText(cell.fitted.landed),
  ]);
  const table =
    rows.length === 0
      ? ''
      : textTable([['   sun', 'sky', 'recordings', 'needed (stops)', 'mostly fitted', 'landed'], ...rows]);
  const caution = rows.length === 0 ? '' : paragraph(cautionLine);
  return [report.sentences.map(paragraph).join(''), picture, table, paragraph(restsOn(report)) + caution]
    .filter((part) => part !== '')
    .join('\n');
}

export function neededText({ neededStops }: LearnedCell): string {
  if (neededStops === undefined) return unknown;
  const [low, middle, high] = neededStops.map((stops) => stops.toFixed(1).replace('-', '\u2212'));
  return low === high ? middle! : `${middle} (${low} to ${high})`;
}

/** Few are told as counts: a percentage of three would promise what nobody knows. */
export function shareText({ of, right }: Share): string {
  if (of === 0) return unknown;
  return of < 5 ? `${right} of ${of}` : `${Math.round((100 * right) / of)}% of ${of}`;
}

export function restsOn({ light, flights, recordings }: LearnedReport): string {
  const all = `${counted(flights.length, 'flight')}, ${counted(recordings, 'recording')}.`;
  if (light === undefined)
    return `${all} Nothing was learned of the light yet: that needs a known filter, a time and a place. Plans rest on published daylight alone.`;
  const { offsetStops, reachStops } = light;
  const differs =
    Math.abs(offsetStops) < 0.3
      ? 'Your light is as published'
      : `Your light is ${formatStops(offsetStops)} stops against published daylight`;
  return `${all} ${differs}, from ${counted(light.recordings, 'recording')} of ${counted(light.flights, 'flight')}; nine scenes of ten lie within ${reachStops.toFixed(1)} stops of what a plan expects.`;
}
