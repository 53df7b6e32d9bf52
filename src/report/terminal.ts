import type { AuditDocument, ReportedSequence } from '../document/auditDocument.ts';
import type { ReportedRecording } from '../document/reportedRecording.ts';
import {
  firstFew,
  isFlagged,
  mostSeriousFirst,
  remarksByKind,
  rowsAndQuietStills,
  weighsEnough,
  withRefusals,
} from './arrangement.ts';
import { filterText } from './filterWording.ts';
import { findingTitle, findingTopic } from '../findings/index.ts';
import { countSentence, flightLines } from './flight.ts';
import { counted } from '../domain/format.ts';
import { auditInShort, wholes, type AuditInShort, type RecordingInShort } from './inShort.ts';
import { leftAsideText, noteTexts } from './leftAside.ts';
import { createPalette } from './palette.ts';
import { problemGroups } from './problemGroups.ts';
import { recordingsTable } from './recordingsTable.ts';
import { sequenceSaid } from './sequenceWording.ts';
import { tableLegend } from './tableLegend.ts';
import { list, margin, numbered, paragraph, summaryLines, topicLines, type Sheet } from './terminalSheet.ts';
import { shortenMiddle } from './textWidth.ts';
import { topMatters } from './topMatters.ts';

export interface TerminalOptions {
  readonly columns: number;
  readonly colour: boolean;
  /** As they were shot, or the worst first. */
  readonly order: 'shooting' | 'serious';
}

const narrowest = 40;
/** More of one kind would scroll the summary far away; the page explains every one. */
const mostExplained = 40;

/** The whole audit for a terminal: what was found at a glance, a line for each recording, then what is wrong and why. */
export function terminalReport(audited: AuditDocument, options: TerminalOptions): string {
  const document = auditInShort(audited);
  const sheet = { columns: Math.max(options.columns, narrowest), palette: createPalette(options.colour) };
  const recordings =
    options.order === 'serious' ? mostSeriousFirst(document.recordings) : document.recordings;
  const blocks = [
    summary(document, sheet),
    table(document, recordings, sheet),
    ...flaggedBlocks(document, recordings.filter(isFlagged), sheet),
    list(
      'Remarks',
      [
        ...remarksByKind(recordings).map(({ kind, paths }) => `${findingTitle(kind)}: ${firstFew(paths)}`),
        refusedText(recordings),
      ],
      sheet,
    ),
    sequenceBlocks(document, sheet),
    list('Problems', problemLines(document), sheet),
    list('Left aside', [leftAsideText(document) ?? '', ...noteTexts(document)], sheet),
    list('Before the next flight', document.cautions, sheet),
  ];
  return `${blocks.filter((block) => block !== '').join('\n\n')}\n`;
}

function summary(document: AuditInShort, sheet: Sheet): string {
  const { bold, dim } = sheet.palette;
  const { folder } = document;
  return [
    ...paragraph(`${document.dump}: ${countSentence(document)}`, sheet).map(bold),
    ...flightLines(document).flatMap((line) => summaryLines(line, sheet)),
    ...topMatters(document).flatMap(({ text }, index) => numbered(index + 1, text, sheet)),
    ...paragraph(folder === '' ? '' : `All of it lies in ${folder}`, sheet).map(dim),
  ]
    .filter((line) => line !== '')
    .join('\n');
}

function table(document: AuditInShort, recordings: readonly RecordingInShort[], sheet: Sheet): string {
  if (recordings.length === 0) return '';
  const { rows, quietStills } = rowsAndQuietStills(recordings);
  const { shutterAngleDegrees } = document.settings;
  const lines = [
    rows.length === 0
      ? ''
      : recordingsTable(wholes(document, rows), { ...sheet, targetAngleDegrees: shutterAngleDegrees }),
    ...(quietStills === 0
      ? []
      : paragraph(`${counted(quietStills, 'still')} without findings of their own`, sheet, margin)),
    ...(rows.length === 0 ? [] : paragraph(tableLegend(rows), sheet, margin).map(sheet.palette.dim)),
  ];
  return lines.filter((line) => line !== '').join('\n');
}

/** The most serious are explained where there are too many, in the order of the table. */
function flaggedBlocks(
  document: AuditInShort,
  flagged: readonly RecordingInShort[],
  sheet: Sheet,
): readonly string[] {
  const explained = new Set(mostSeriousFirst(flagged).slice(0, mostExplained));
  const blocks = flagged
    .filter((each) => explained.has(each))
    .map(({ index }) => recordingBlock(document.whole(index), sheet));
  const left = flagged.length - explained.size;
  if (left === 0) return blocks;
  const more = `${counted(left, 'more recording')} flagged: the page that --out writes explains every one.`;
  return [...blocks, paragraph(more, sheet, margin).join('\n')];
}

function recordingBlock({ path, findings, filter }: ReportedRecording, sheet: Sheet): string {
  const { palette, columns } = sheet;
  const advice = filter === undefined ? [] : [filterText(filter) ?? '', filter.otherwise[0] ?? ''];
  const entries = [
    ...findings.filter(weighsEnough).map(({ kind, text }) => ({ topic: findingTopic(kind), text })),
    { topic: 'filter', text: advice.filter((part) => part !== '').join(' ') },
  ];
  const heading = `${palette.red('!')}  ${palette.bold(shortenMiddle(path, columns - margin))}`;
  const body = entries.filter(({ text }) => text !== '').flatMap((entry) => topicLines(entry, sheet));
  return [heading, ...body].join('\n');
}

function refusedText(recordings: readonly RecordingInShort[]): string {
  const paths = withRefusals(recordings);
  return paths.length === 0
    ? ''
    : `recorded values not believed (halfturn show says which): ${firstFew(paths)}`;
}

function problemLines({ problems }: AuditInShort): readonly string[] {
  const groups = problemGroups(problems);
  const shown = groups.slice(0, mostExplained).map(({ name, text }) => `${name} ${text}`);
  const more = groups.slice(mostExplained).reduce((sum, { files }) => sum + files, 0);
  return more === 0
    ? shown
    : [...shown, `${counted(more, 'more problem')}: the page that --out writes tells every one.`];
}

function sequenceBlocks({ sequences }: AuditInShort, sheet: Sheet): string {
  if (sequences.length === 0) return '';
  const blocks = sequences.map((sequence) => sequenceBlock(sequence, sheet));
  return [sheet.palette.bold('Series'), ...blocks].join('\n');
}

function sequenceBlock(sequence: ReportedSequence, sheet: Sheet): string {
  const { what, said } = sequenceSaid(sequence);
  const { palette } = sheet;
  const flagged = sequence.findings.some(weighsEnough);
  const [first = '', ...more] = paragraph(what, sheet, margin).map(palette.bold);
  const heading = flagged ? first.replace(' '.repeat(margin), `${palette.red('!')}  `) : first;
  return [heading, ...more, ...said.flatMap((entry) => topicLines(entry, sheet))].join('\n');
}
