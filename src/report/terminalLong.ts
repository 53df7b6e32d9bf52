import type { ReportedSequence } from '../document/auditDocument.ts';
import type { ReportedRecording } from '../document/reportedRecording.ts';
import { counted } from '../domain/format.ts';
import { findingTitle, findingTopic, type FindingKind } from '../findings/index.ts';
import {
  firstFew,
  isFlagged,
  mostSeriousFirst,
  ownFindings,
  rowsAndQuietStills,
  weighsEnough,
  type DisplayedAudit,
} from './arrangement.ts';
import { leftAsideTexts, problemGroups } from './dumpWording.ts';
import type { Kit } from './carryWording.ts';
import { filterText } from './filterWording.ts';
import { flightLines, headlines } from './flightSummary.ts';
import { recordingsTable, tableLegend } from './recordingsTable.ts';
import { sequenceSummary } from './sequenceWording.ts';
import { paragraphLines, shortenMiddle, type Sheet } from './terminalText.ts';

/** Columns before what belongs to a heading; the mark of a flagged recording stands there. */
const margin = 3;
const topicColumns = 12;
const summaryColumns = 10;
/** More of one kind would scroll the summary far away; the page explains every one. */
const mostExplained = 40;

/** All there is to say, below the verdict: what was found of the flight, a line for each recording, and why. */
export function longBlocks(
  document: DisplayedAudit,
  recordings: readonly ReportedRecording[],
  sheet: Sheet,
): readonly string[] {
  return [
    summary(document, sheet),
    table(document, recordings, sheet),
    ...flaggedBlocks(recordings.filter(isFlagged), document.settings, sheet),
    list(
      'Remarks',
      [
        ...remarksByKind(recordings).map(({ kind, paths }) => `${findingTitle(kind)}: ${firstFew(paths)}`),
        refusedText(recordings),
      ],
      sheet,
    ),
    titled(
      'Groups of stills',
      document.sequences.map((sequence) => sequenceBlock(sequence, document.settings, sheet)),
      sheet,
    ),
    list('Problems', problemLines(document), sheet),
    list('Left aside', leftAsideTexts(document), sheet),
    list('Before the next flight', document.cautions, sheet),
  ];
}

function summary(document: DisplayedAudit, sheet: Sheet): string {
  const { dim } = sheet.palette;
  return [
    ...flightLines(document).flatMap(({ label, text }) =>
      labelledLines(dim(label.padEnd(summaryColumns)), text, sheet, summaryColumns),
    ),
    ...headlines(document).flatMap(({ text }, index) =>
      labelledLines(String(index + 1).padEnd(margin), text, sheet, margin),
    ),
  ].join('\n');
}

function table(document: DisplayedAudit, recordings: readonly ReportedRecording[], sheet: Sheet): string {
  if (recordings.length === 0) return '';
  const { rows, quietStills } = rowsAndQuietStills(recordings);
  const { shutterAngleDegrees } = document.settings;
  const lines = [
    ...(quietStills === 0
      ? []
      : paragraphLines(`${counted(quietStills, 'still')} without findings of their own`, sheet, margin)),
    ...(rows.length === 0 ? [] : paragraphLines(tableLegend(rows), sheet, margin).map(sheet.palette.dim)),
  ];
  if (rows.length === 0) return lines.join('\n');
  return [recordingsTable(rows, { ...sheet, targetAngleDegrees: shutterAngleDegrees }), ...lines].join('\n');
}

/** The most serious are explained where there are too many, in the order of the table. */
function flaggedBlocks(flagged: readonly ReportedRecording[], kit: Kit, sheet: Sheet): readonly string[] {
  const explained = new Set(mostSeriousFirst(flagged).slice(0, mostExplained));
  const blocks = flagged
    .filter((each) => explained.has(each))
    .map((recording) => recordingBlock(recording, kit, sheet));
  const left = flagged.length - explained.size;
  if (left === 0) return blocks;
  const more = `${counted(left, 'more recording')} flagged: the page that --out writes explains every one.`;
  return [...blocks, paragraphLines(more, sheet, margin).join('\n')];
}

function recordingBlock({ path, findings, filter }: ReportedRecording, kit: Kit, sheet: Sheet): string {
  const { palette, columns } = sheet;
  const advice = filter === undefined ? [] : [filterText(filter, kit) ?? '', filter.otherwise[0] ?? ''];
  const entries = [
    ...findings.filter(weighsEnough).map(({ kind, text }) => ({ topic: findingTopic(kind), text })),
    { topic: 'filter', text: advice.filter((part) => part !== '').join(' ') },
  ];
  const heading = `${palette.red('!')}  ${palette.bold(shortenMiddle(path, columns - margin))}`;
  const body = entries.filter(({ text }) => text !== '').flatMap((entry) => topicLines(entry, sheet));
  return [heading, ...body].join('\n');
}

/** Low findings of single recordings gathered by kind, each with the recordings that have it. */
function remarksByKind(recordings: readonly ReportedRecording[]) {
  const pathsByKind = new Map<FindingKind, Set<string>>();
  for (const { path, findings } of recordings) {
    for (const { kind } of ownFindings(findings).filter((finding) => !weighsEnough(finding))) {
      pathsByKind.set(kind, (pathsByKind.get(kind) ?? new Set()).add(path));
    }
  }
  return [...pathsByKind].map(([kind, paths]) => ({ kind, paths: [...paths] }));
}

/** Recordings in which a recorded value was refused, as nobody could have meant it. */
function refusedText(recordings: readonly ReportedRecording[]): string {
  const paths = recordings.filter(({ refusals }) => refusals.length > 0).map(({ path }) => path);
  return paths.length === 0
    ? ''
    : `recorded values not believed (halfturn show says which): ${firstFew(paths)}`;
}

function problemLines({ problems }: DisplayedAudit): readonly string[] {
  const groups = problemGroups(problems);
  const shown = groups.slice(0, mostExplained).map(({ name, text }) => `${name} ${text}`);
  const more = groups.slice(mostExplained).reduce((sum, { files }) => sum + files, 0);
  return more === 0
    ? shown
    : [...shown, `${counted(more, 'more problem')}: the page that --out writes tells every one.`];
}

function sequenceBlock(sequence: ReportedSequence, kit: Kit, sheet: Sheet): string {
  const { heading, entries } = sequenceSummary(sequence, kit);
  const { palette } = sheet;
  const flagged = sequence.findings.some(weighsEnough);
  const [first = '', ...more] = paragraphLines(heading, sheet, margin).map(palette.bold);
  const start = flagged ? first.replace(' '.repeat(margin), `${palette.red('!')}  `) : first;
  return [start, ...more, ...entries.flatMap((entry) => topicLines(entry, sheet))].join('\n');
}

/** What is said under a heading, with its topic before it. */
function topicLines({ topic, text }: { topic: string; text: string }, sheet: Sheet): readonly string[] {
  const label = ' '.repeat(margin) + sheet.palette.dim(topic.padEnd(topicColumns));
  return labelledLines(label, text, sheet, margin + topicColumns);
}

/** A paragraph with a label, `columns` wide, before its first line. */
export function labelledLines(label: string, text: string, sheet: Sheet, columns: number): readonly string[] {
  const [first = '', ...more] = paragraphLines(text, sheet, columns);
  return [label + first.slice(columns), ...more];
}

/** Lines under a title; nothing where there are none. */
export function list(title: string, lines: readonly string[], sheet: Sheet): string {
  const filled = lines.filter((line) => line !== '');
  return titled(
    title,
    filled.flatMap((line) => paragraphLines(line, sheet, margin)),
    sheet,
  );
}

function titled(title: string, blocks: readonly string[], { palette }: Sheet): string {
  return blocks.length === 0 ? '' : [palette.bold(title), ...blocks].join('\n');
}
