import type { ReportedSequence, ReportedSettings } from '../document/auditDocument.ts';
import type { ReportedFilter, ReportedRecording, ReportedTrack } from '../document/reportedRecording.ts';
import { displayable } from '../domain/displayText.ts';
import { factLabel, isFactName, shownFacts } from '../domain/factWording.ts';
import { formatBytes, formatExposure, formatStops } from '../domain/format.ts';
import type { Problem } from '../domain/recording.ts';
import { derivations } from './derivations.ts';
import { cautionLine, problemText } from './dumpWording.ts';
import type { Kit } from './carryWording.ts';
import { filterText } from './filterWording.ts';
import { paragraphLines, sheetFor, textWidth, type Sheet } from './terminalText.ts';

interface ShowOptions {
  readonly columns: number;
  readonly colour: boolean;
  readonly settings: Pick<ReportedSettings, 'shutterAngleDegrees' | 'windowStops' | 'kit' | 'kitAssumed'>;
  /** What went wrong with it and left something to show. */
  readonly problems?: readonly Problem[];
  /** The stills that it was taken with. */
  readonly group?: Pick<ReportedSequence, 'takenAs' | 'paths'>;
}

type Entry = readonly [label: string, text: string];

/** All that is known of one recording: each fact with its source, what was refused, how each number came about. */
export function showRecording(recording: ReportedRecording, options: ShowOptions): string {
  const shown = displayable(recording);
  const settings = displayable(options.settings);
  const sheet = sheetFor(options);
  const heading = `${shown.path}  (${shown.kind}, ${formatBytes(shown.sizeBytes)})`;
  const findings = shown.findings.flatMap(({ weight, text, detail }) => withDetail([weight, text], detail));
  const problems = displayable(options.problems ?? []);
  const blocks = [
    paragraphLines(heading, sheet).map(sheet.palette.bold).join('\n'),
    block(
      problems.length === 1 ? 'Problem' : 'Problems',
      problems.flatMap((problem) => withDetail(['', `It ${problemText(problem)}`], problem.detail)),
      sheet,
    ),
    block('Findings', findings.length === 0 ? [['', nothingWrong(options)]] : findings, sheet),
    block('Group', options.group === undefined ? [] : groupEntries(displayable(options.group)), sheet),
    block('Next time', shown.filter === undefined ? remedyEntries(shown) : [], sheet),
    block('Filter', shown.filter === undefined ? [] : filterEntries(shown.filter, settings), sheet),
    block('Read', shownFacts(shown.facts).flatMap(factEntries), sheet),
    block('Over time', shown.track === undefined ? [] : trackEntries(shown.track), sheet),
    block('Worked out', derivations(shown, settings), sheet),
    block(
      'Not believed',
      shown.refusals.map(({ what, raw, source, reason }): Entry => [
        // Refusals name facts as the code does.
        isFactName(what) ? factLabel(what) : what,
        `"${raw}" in ${source}: ${reason}`,
      ]),
      sheet,
    ),
    block(
      'Read beside it',
      shown.sidecars.map((path): Entry => ['sidecar', path]),
      sheet,
    ),
  ];
  return `${blocks.filter((text) => text !== '').join('\n\n')}\n`;
}

/** What is wrong with a whole series is said of none of its stills. */
function nothingWrong({ group }: ShowOptions): string {
  return group === undefined ? 'Nothing was found wrong.' : 'Nothing was found wrong with it alone.';
}

function withDetail(entry: Entry, detail: string | undefined): readonly Entry[] {
  return detail === undefined ? [entry] : [entry, ['', `In detail: ${detail}`]];
}

function groupEntries({ takenAs, paths }: NonNullable<ShowOptions['group']>): readonly Entry[] {
  const others = `${paths.length} stills, ${paths[0]} to ${paths.at(-1)}: an audit of the folder judges them together.`;
  return [...(takenAs === undefined ? [] : [['', takenAs] as const]), ['', others]];
}

/** Where no filter advice stands, the findings say what to do; those that share an advice quote it alike. */
function remedyEntries({ findings }: ReportedRecording): readonly Entry[] {
  const remedies = new Set(findings.flatMap(({ nextTime }) => nextTime ?? []));
  return [...remedies].map((text): Entry => ['', text]);
}

function filterEntries(filter: ReportedFilter, kit: Kit): readonly Entry[] {
  const alternatives = filter.otherwise.map((text): Entry => ['or', text]);
  const advice = filterText(filter, kit);
  const caution: readonly Entry[] = filter.change === 'none' ? [] : [['safety', cautionLine]];
  return advice === undefined ? alternatives : [['advice', advice], ...alternatives, ...caution];
}

function factEntries({
  label,
  value,
  source,
  others,
}: ReturnType<typeof shownFacts>[number]): readonly Entry[] {
  const chosen: Entry = [label, `${value}  from ${source}`];
  return [chosen, ...others.map((other): Entry => ['', `not used: ${other.value}  from ${other.source}`])];
}

function trackEntries(track: ReportedTrack): readonly Entry[] {
  const spread = (label: string, range: ReportedTrack['iso'], format: (value: number) => string): Entry[] =>
    range ? [[label, `${format(range.min)} to ${format(range.max)}, middle ${format(range.median)}`]] : [];
  return [
    ['samples', `${track.samples} from ${track.source}`],
    ...spread('exposure time', track.exposureSeconds, formatExposure),
    ...spread('ISO', track.iso, (value) => String(Math.round(value))),
    ...spread("camera's meter", track.meteredOffsetStops, (stops) => `${formatStops(stops)} stops`),
  ];
}

function block(title: string, entries: readonly Entry[], sheet: Sheet): string {
  if (entries.length === 0) return '';
  const labelled = Math.max(...entries.map(([label]) => textWidth(label)));
  const indent = labelled === 0 ? 2 : Math.min(labelled, 22) + 4;
  const lines = entries.flatMap(([label, text]) => {
    const [first = '', ...more] = paragraphLines(text, sheet, indent);
    const start = `  ${sheet.palette.dim(label)}${' '.repeat(Math.max(indent - 2 - textWidth(label), 1))}`;
    return label === '' ? [first, ...more] : [`${start}${first.slice(indent)}`, ...more];
  });
  return [sheet.palette.bold(title), ...lines].join('\n');
}
