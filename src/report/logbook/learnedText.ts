import { counted, formatStops } from '../../domain/format.ts';
import type { FilterGroup, FilterStrength, LearnedFilter, LearnedReport } from '../../domain/learned.ts';
import { textTable } from '../table.ts';
import { paragraphLines } from '../terminalText.ts';

const unknown = '·';

export function learnedText(report: LearnedReport, columns: number): string {
  const paragraph = (text: string, indent = 0) => `${paragraphLines(text, { columns }, indent).join('\n')}\n`;
  const { filters, strengths, flights, recordings } = report;
  if (filters.length === 0)
    return paragraph(
      `${counted(flights, 'flight')} and no recording whose filter is known: say what was fitted with --fitted or in flight notes ("halfturn note").`,
    );
  return [
    `${counted(flights, 'flight')}, ${counted(recordings, 'recording')}.\n`,
    textTable([
      ['filter', 'flights', 'clips', 'stills', 'shutter on', 'exposure right', 'miss', 'better'],
      ...filters.map(filterRow),
    ]),
    '   miss: median of what was left to take away, + the filter was too weak; · not known\n',
    ...filters.flatMap(breakdown),
    strengthText(strengths, paragraph),
    sceneText(report, paragraph),
  ]
    .filter((part) => part !== '')
    .join('\n');
}

function filterRow(filter: LearnedFilter): readonly string[] {
  const [best] = filter.better;
  return [
    filter.label,
    String(filter.flights),
    String(filter.clips),
    String(filter.stills),
    shareText(filter.shutter),
    shareText(filter.exposure),
    missText(filter.missStops),
    best === undefined ? unknown : `${best.label} for ${best.recordings}`,
  ];
}

function breakdown({ label, groups, trend }: LearnedFilter): readonly string[] {
  const rows = [...groups, ...(trend.length > 1 ? trend : [])].map(groupRow);
  if (rows.length === 0) return [];
  return [textTable([[label, 'recordings', 'shutter on', 'exposure right', 'miss'], ...rows])];
}

function groupRow({ value, recordings, shutter, exposure, missStops }: FilterGroup): readonly string[] {
  return [`   ${value}`, String(recordings), shareText(shutter), shareText(exposure), missText(missStops)];
}

type Paragraph = (text: string, indent?: number) => string;

function strengthText(strengths: readonly FilterStrength[], paragraph: Paragraph): string {
  if (strengths.length === 0) return '';
  const rows = strengths.map((strength) => [
    strength.label,
    strength.labelStops.toFixed(1),
    strength.stops.toFixed(2),
    strength.interval.map((end) => end.toFixed(2)).join(' to '),
    String(strength.pairs),
    strength.leftOut === 0 ? '' : String(strength.leftOut),
    standing(strength),
  ]);
  const hint = paragraph(
    'To know more of a filter, film one view without it and with it, minutes apart, on several flights.',
    3,
  );
  return `True strength, from recordings under the same light minutes apart\n${textTable([['filter', 'label', 'found', '95%', 'pairs', 'left out', ''], ...rows])}${hint}`;
}

function standing({ supported, pairs, labelStops, interval: [low, high] }: FilterStrength): string {
  if (supported) return 'audits and plans use what was found';
  if (pairs === 0) return 'no pairs yet';
  return labelStops >= low && labelStops <= high ? 'the label may be right' : 'too few pairs yet';
}

function sceneText({ scene }: LearnedReport, paragraph: Paragraph): string {
  if (scene.observations === 0)
    return paragraph(
      'Nothing was learned of the light yet: that needs a known filter, a time and a place. Plans rest on published daylight alone.',
    );
  const { observations, flights, recordingSpreadStops, flightSpreadStops, effects } = scene;
  const rows = effects.map((effect) => [
    `   ${effect.name}`,
    formatStops(effect.priorStops),
    formatStops(effect.learnedStops),
    effect.interval.map(formatStops).join(' to '),
    String(effect.observations),
  ]);
  const about = paragraph(
    `Light against published daylight, from ${counted(observations, 'recording')} of ${counted(flights, 'flight')}. Flights of one weather differ by ${flightSpreadStops.toFixed(1)} stops, recordings of one flight by ${recordingSpreadStops.toFixed(1)}.`,
  );
  return `${about}${textTable([['', 'expected', 'learned', '90%', 'recordings'], ...rows])}`;
}

function shareText({ of, right }: LearnedFilter['shutter']): string {
  return of === 0 ? unknown : `${Math.round((100 * right) / of)}% of ${of}`;
}

function missText(stops: number | undefined): string {
  return stops === undefined ? unknown : formatStops(stops);
}
