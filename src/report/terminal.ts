import type { AuditDocument } from '../document/auditDocument.ts';
import type { ReportedRecording } from '../document/reportedRecording.ts';
import { capital, counted } from '../domain/format.ts';
import { groupedBy } from '../domain/grouping.ts';
import {
  displayedAudit,
  isFlagged,
  mostSeriousFirst,
  ownFindings,
  spansOf,
  weighsEnough,
  type DisplayedAudit,
} from './arrangement.ts';
import { cautionLine, problemGroups } from './dumpWording.ts';
import { filterInShort } from './carryWording.ts';
import { countSentence } from './flightSummary.ts';
import { useSentence, verdictLines } from './flightVerdict.ts';
import { useMeanings, useNames, usesOf, type Use } from './recordingUse.ts';
import { faultSentence, sequenceRow } from './shortWording.ts';
import { labelledLines, longBlocks, list } from './terminalLong.ts';
import { paragraphLines, sheetFor, textWidth, type Sheet } from './terminalText.ts';

interface TerminalOptions {
  readonly columns: number;
  readonly colour: boolean;
  /** As they were shot, or the worst first. */
  readonly order: 'shooting' | 'serious';
  /** Everything that is known, as the page tells it; absent for the short report. */
  readonly long?: boolean;
}

/** Columns before what belongs to a heading. */
const margin = 3;
const labelColumns = 8;
/** More of one kind would scroll the verdict far away. */
const mostProblems = 4;

/** An audit for a terminal: the verdict, what is flagged in a row each, and the verdict again, where the eye ends. */
export function terminalReport(audited: AuditDocument, options: TerminalOptions): string {
  const document = displayedAudit(audited);
  const sheet = sheetFor(options);
  const recordings =
    options.order === 'serious' ? mostSeriousFirst(document.recordings) : document.recordings;
  const told =
    options.long === true
      ? longBlocks(document, recordings, sheet)
      : [
          ...useBlocks(document, recordings, sheet),
          sequences(document, sheet),
          [problems(document, sheet), others(document, sheet)].filter((text) => text !== '').join('\n'),
        ];
  const blocks = [
    firstVerdict(document, sheet),
    ...told,
    lastVerdict(document, sheet, options.long === true),
  ];
  return `${blocks.filter((block) => block !== '').join('\n\n')}\n`;
}

/** The verdict alone, for whoever has read the rest. */
export function terminalVerdict(audited: AuditDocument, options: TerminalOptions): string {
  return `${lastVerdict(displayedAudit(audited), sheetFor(options), options.long === true)}\n`;
}

function firstVerdict(document: DisplayedAudit, sheet: Sheet): string {
  const below = document.folder === '' ? '' : `, all in ${document.folder}`;
  return [
    ...paragraphLines(`${document.dump}${below}: ${countSentence(document)}`, sheet),
    ...paragraphLines(useSentence(document) ?? '', sheet).map(sheet.palette.bold),
    ...saidLines(document, sheet),
  ]
    .filter((line) => line !== '')
    .join('\n');
}

function lastVerdict(document: DisplayedAudit, sheet: Sheet, isLong: boolean): string {
  const sentence = useSentence(document);
  if (sentence === undefined) return '';
  const carries = verdictLines(document).some(({ label }) => label === 'carry');
  return [
    ...paragraphLines(sentence, sheet).map(sheet.palette.bold),
    ...saidLines(document, sheet, ['carry', 'change']),
    // At length they stand above.
    ...(carries && !isLong ? paragraphLines(cautionLine, sheet).map(sheet.palette.dim) : []),
  ].join('\n');
}

type Label = ReturnType<typeof verdictLines>[number]['label'];

function saidLines(
  document: DisplayedAudit,
  sheet: Sheet,
  labels: readonly Label[] = ['lost', 'best', 'carry', 'change'],
): readonly string[] {
  return verdictLines(document)
    .filter(({ label }) => labels.includes(label))
    .flatMap(({ label, text }) =>
      labelledLines(sheet.palette.dim(label.padEnd(labelColumns)), text, sheet, labelColumns),
    );
}

/** What is lost comes first: it is what nobody should look for in vain. */
const shownUses: readonly (Use | undefined)[] = ['leave', 'trim', 'use', undefined];

function useBlocks(
  document: DisplayedAudit,
  recordings: readonly ReportedRecording[],
  sheet: Sheet,
): readonly string[] {
  const all = usesOf(document);
  const useOfEach = new Map(document.recordings.map((recording, at) => [recording, all[at]]));
  return shownUses.map((use) => {
    const members = recordings.filter((recording) => useOfEach.get(recording) === use);
    if (members.length === 0) return '';
    const { bold, red } = sheet.palette;
    const heading = `${use === undefined ? 'Not measured' : capital(useNames[use])} ${members.length}`;
    const meaning = use === undefined ? 'nobody looked at the picture' : useMeanings[use];
    const coloured = use === 'leave' ? red(bold(heading)) : bold(heading);
    const flagged = members.filter(isFlagged);
    const quiet = quietText(members, use);
    const said = flagged.length === 0 ? `${meaning}, ${quiet}` : meaning;
    return [
      ...paragraphLines(`${heading}: ${said}`, sheet).map((line) => line.replace(heading, coloured)),
      ...rows(flagged, document, sheet),
      ...(flagged.length === 0 || quiet === '' ? [] : paragraphLines(quiet, sheet, margin)),
    ].join('\n');
  });
}

/** Recordings that nothing flags share a line. */
function quietText(members: readonly ReportedRecording[], use: Use | undefined): string {
  const quiet = members.filter((recording) => !isFlagged(recording));
  if (quiet.length === 0) return '';
  const clips = quiet.filter(({ kind }) => kind === 'clip').length;
  const stills = quiet.length - clips;
  const parts = [clips > 0 && counted(clips, 'clip'), stills > 0 && counted(stills, 'still')];
  // Without a flag of its own a still is there by its group.
  const how = use === 'trim' ? 'in groups that are flagged as a whole' : 'with nothing flagged';
  return `${parts.filter((part) => part !== false).join(' and ')} ${how}`;
}

interface Row {
  readonly name: string;
  readonly carry: string;
  readonly text: string;
}

/** A row for each that is flagged; those of whom the same is to be said have one together. */
function rows(
  flagged: readonly ReportedRecording[],
  document: DisplayedAudit,
  sheet: Sheet,
): readonly string[] {
  const all = flagged.map((recording): Row => {
    const text = faultSentence(recording, document.settings);
    return { name: recording.path, carry: carryCell(recording), text };
  });
  const inOrder = document.recordings.map(({ path }) => path);
  const together = [...groupedBy(all, ({ carry, text }) => `${carry} ${text}`).values()];
  return tableLines(
    together.map((alike) => oneRow(alike, (names) => spansOf(names, inOrder))),
    sheet,
  );
}

function oneRow(
  alike: readonly Row[],
  named: (names: readonly string[]) => readonly string[] = (names) => names,
): Row {
  const [first] = alike;
  if (alike.length === 1) return first!;
  const names = named(alike.map(({ name }) => name)).join(', ');
  return { ...first!, name: `${alike.length} alike`, text: `${first!.text} ${names}` };
}

/** Where nobody said what was on the lens, the verdict says what to carry with which filter on. */
function carryCell({ filter }: ReportedRecording): string {
  if (filter?.fitted === undefined) return '';
  const label = filterInShort(filter);
  return label === undefined ? '' : `carry ${label}`;
}

/** Of the width of the sheet. */
const widestNameShare = 0.34;
const widestCarry = 16;

function tableLines(table: readonly Row[], sheet: Sheet): readonly string[] {
  const room = Math.floor(sheet.columns * widestNameShare);
  const fitting = table.map(({ name }) => textWidth(name)).filter((width) => width <= room);
  const nameWidth = Math.max(0, ...fitting);
  const carryWidth = Math.min(widestCarry, Math.max(0, ...table.map(({ carry }) => textWidth(carry))));
  const textColumn = margin + nameWidth + 2 + (carryWidth === 0 ? 0 : carryWidth + 2);
  return table.flatMap(({ name, carry, text }) => {
    const label = [padded(name, nameWidth), ...(carryWidth === 0 ? [] : [padded(carry, carryWidth)])].join(
      '  ',
    );
    const before = `${' '.repeat(margin)}${label}  `;
    if (textWidth(before) === textColumn) return labelledLines(before, text, sheet, textColumn);
    // A long name begins a paragraph: it is never cut.
    const [first = '', ...more] = paragraphLines(
      `${name}${carry === '' ? '' : `  ${carry}`}  ${text}`,
      sheet,
      2 * margin,
    );
    return [first.slice(margin), ...more];
  });
}

function padded(text: string, width: number): string {
  return text + ' '.repeat(Math.max(0, width - textWidth(text)));
}

function sequences({ sequences: all }: DisplayedAudit, sheet: Sheet): string {
  const flagged = all.filter(isFlagged);
  if (flagged.length === 0) return '';
  const table = flagged.map((sequence): Row => ({ ...sequenceRow(sequence), carry: '' }));
  const together = [...groupedBy(table, ({ text }) => text).values()].map((alike) => oneRow(alike));
  return [sheet.palette.bold('Groups of stills'), ...tableLines(together, sheet)].join('\n');
}

function problems({ problems: all }: DisplayedAudit, sheet: Sheet): string {
  const groups = problemGroups(all);
  const more = groups.slice(mostProblems).reduce((sum, { files }) => sum + files, 0);
  return list(
    'Problems',
    [
      ...groups.slice(0, mostProblems).map(({ name, text }) => `${name} ${text}`),
      more === 0 ? '' : `${counted(more, 'more problem')}: --long tells every one.`,
    ],
    sheet,
  );
}

/** What is told at length only, so that nobody misses it. */
function others(document: DisplayedAudit, sheet: Sheet): string {
  const { recordings, sequences: groups, leftAside } = document;
  const remarks = recordings.flatMap(({ findings }) =>
    ownFindings(findings).filter((each) => !weighsEnough(each)),
  );
  const isMixed = recordings.some(({ findings }) => findings.some(({ kind }) => kind === 'frame-rate-mix'));
  const left = Object.values(leftAside).reduce((sum, count) => sum + count, 0);
  const parts = [
    remarks.length > 0 && counted(remarks.length, 'remark'),
    groups.length > 0 && counted(groups.length, 'group of stills', 'groups of stills'),
    isMixed && 'frame rates that do not mix',
    left > 0 && `${counted(left, 'file')} left aside`,
  ].filter((part) => part !== false);
  const text = parts.length === 0 ? '' : `Also ${parts.join(', ')}: --long tells all.`;
  return paragraphLines(text, sheet)
    .filter((line) => line !== '')
    .map(sheet.palette.dim)
    .join('\n');
}
