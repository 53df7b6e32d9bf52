import type { AuditDocument, ReportedSequence, ReportedSettings } from '../../document/auditDocument.ts';
import type { ReportedRecording } from '../../document/reportedRecording.ts';
import { counted } from '../../domain/format.ts';
import { findingTitle } from '../../findings/index.ts';
import {
  isFlagged,
  weighsEnough,
  mostSeriousFirst,
  displayedAudit,
  type DisplayedAudit,
} from '../arrangement.ts';
import { cautionLine, problemGroups } from '../dumpWording.ts';
import { carryWords } from '../carryWording.ts';
import { countSentence, flightLines, headlines } from '../flightSummary.ts';
import { useSentence, verdictLines } from '../flightVerdict.ts';
import { marksOf, usableText } from '../marks.ts';
import { sequenceSummary } from '../sequenceWording.ts';

/** A summary is read in a chat; the page has every recording. */
const mostRows = 25;
const mostProblems = 10;

/** The flight in a few lines of Markdown, for a chat or a ticket. */
export function markdownSummary(audited: AuditDocument): string {
  const document = displayedAudit(audited);
  const { folder } = document;
  const blocks = [
    `## ${markdownText(`Flight audit of ${document.dump}`)}`,
    `**${markdownText([useSentence(document), countSentence(document)].filter(Boolean).join(' '))}**`,
    [...verdictLines(document).filter(({ label }) => label !== 'lost'), ...flightLines(document)]
      .map(({ label, text }) => `- ${label}: ${markdownText(text)}`)
      .join('\n'),
    headlines(document)
      .map(({ text }, index) => `${index + 1}. ${markdownText(text)}`)
      .join('\n'),
    verdictLines(document).some(({ label }) => label === 'carry') ? markdownText(cautionLine) : '',
    flaggedTable(document),
    document.sequences.map((sequence) => sequenceLine(sequence, document.settings)).join('\n'),
    problems(document),
    folder === '' ? '' : `All of it lies in ${markdownText(folder)}`,
  ];
  return `${blocks.filter((block) => block !== '').join('\n\n')}\n`;
}

function sequenceLine(sequence: ReportedSequence, settings: ReportedSettings): string {
  const { heading, entries } = sequenceSummary(sequence, settings);
  return `- ${markdownText([heading, ...entries.map(({ text }) => text)].join(' '))}`;
}

function flaggedTable({ recordings, settings }: DisplayedAudit): string {
  const flagged = recordings.filter(isFlagged);
  if (flagged.length === 0) return '';
  const shown = new Set(mostSeriousFirst(flagged).slice(0, mostRows));
  const rows = flagged.filter((each) => shown.has(each)).map((recording) => row(recording, settings));
  const more = flagged.length - rows.length;
  return [
    '| recording | what | carry | usable |',
    '| --- | --- | --- | --- |',
    ...rows,
    ...(more === 0 ? [] : ['', `${counted(more, 'more recording')} flagged.`]),
  ].join('\n');
}

function row(recording: ReportedRecording, settings: ReportedSettings): string {
  const titles = recording.findings.filter(weighsEnough).map(({ kind }) => findingTitle(kind));
  const cells = [
    recording.path,
    [...new Set(titles)].join(', '),
    carryWords(recording.filter, settings) ?? '·',
    usableText(recording, marksOf(recording, settings)) ?? '·',
  ];
  return `| ${cells.map(markdownText).join(' | ')} |`;
}

function problems({ problems: all }: DisplayedAudit): string {
  const groups = problemGroups(all);
  const shown = groups.slice(0, mostProblems).map(({ name, text }) => `- ${markdownText(`${name} ${text}`)}`);
  const more = groups.slice(mostProblems).reduce((sum, { files }) => sum + files, 0);
  return [...shown, ...(more === 0 ? [] : [`- ${counted(more, 'more problem')}`])].join('\n');
}

/**
 * Text that Markdown (CommonMark, and its tables and automatic links) shows as it is. Signs are only escaped where they
 * could mean something, so that the source stays readable too.
 */
function markdownText(text: string): string {
  return text
    .replace(/[\\`*[\]<>|~&#@!]/g, '\\$&')
    .replace(/(?<![A-Za-z0-9])_|_(?![A-Za-z0-9])/g, '\\_')
    .replace(/:(?=\/\/)|(?<=\bwww)\./gi, '\\$&')
    .replace(/^(\s*)([-+=]|\d+(?=[.)]))/, (_, space: string, sign: string) =>
      /\d/.test(sign) ? `${space}${sign}\\` : `${space}\\${sign}`,
    );
}
