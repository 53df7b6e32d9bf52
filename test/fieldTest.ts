import { spawnSync } from 'node:child_process';
import { copyFileSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { readAuditDocument } from '../src/document/readDocument.ts';
import type { AuditDocument } from '../src/document/auditDocument.ts';
import type { ReportedFinding, ReportedRecording } from '../src/document/reportedRecording.ts';
import { peakMegabytes } from './bench/cost.ts';
import { folderVariable } from './bench/ratios.ts';
import { oppositesIn, oppositesInGroup } from './opposites.ts';

// npm run field -- <folder> [<audit.json to keep>]
//
// Audits a folder of media that strangers made, and prints what is to be read by eye: who says how long the shutter was
// open, what was found and how often, groups, every distinct sentence with files that it was said of, sentences that
// cannot be right, and which facts of stills a general-purpose reader reads otherwise.

/** Enough to look at beside a sentence. */
const mostExamples = 10;

/** Nobody reads a longer one twice. */
const longestSentence = 240;

async function main(): Promise<void> {
  const [folder, kept] = process.argv.slice(2);
  if (folder === undefined) throw new Error('npm run field -- <folder> [<audit.json to keep>]');
  const out = mkdtempSync(path.join(tmpdir(), 'halfturn-field-'));
  try {
    const startMs = performance.now();
    const command = [
      process.execPath,
      'bin/halfturn.js',
      'audit',
      folder,
      '--no-logbook',
      '--no-cache',
      '--quiet',
      '--out',
      out,
    ];
    const megabytes = await peakMegabytes(command);
    const seconds = (performance.now() - startMs) / 1000;
    if (kept !== undefined) copyFileSync(path.join(out, 'audit.json'), kept);
    print(readAuditDocument(readFileSync(path.join(out, 'audit.json'), 'utf8'), 'audit.json'));
    console.log(`\n${seconds.toFixed(0)} s, ${megabytes.toFixed(0)} MB at most\n\nFacts of stills`);
    const env = { ...process.env, [folderVariable]: path.resolve(folder) };
    const facts = ['--import', 'tsx', 'test/bench/stillsBench.ts'];
    spawnSync(process.execPath, facts, { stdio: 'inherit', env });
  } finally {
    rmSync(out, { recursive: true, force: true });
  }
}

function print({ recordings, sequences, problems }: AuditDocument): void {
  const clips = recordings.filter(({ kind }) => kind === 'clip');
  console.log(
    `${clips.length} clips, ${recordings.length - clips.length} stills, ${problems.length} problems`,
  );
  printCounts('Shutter, by what told it', recordings.map(shutterSource));
  printCounts(
    'Groups',
    sequences.map(({ kind, paths }) => `${kind} of ${paths.length}`),
  );
  const told = [
    ...recordings.flatMap(({ path: file, findings }) => findings.map((each) => ({ ...each, file }))),
    ...sequences.flatMap(({ paths, findings }) => findings.map((each) => ({ ...each, file: paths[0]! }))),
  ];
  printCounts(
    'Findings',
    told.map(({ kind, weight }) => `${kind} (${weight})`),
  );
  printSentences(told);
  printCounts('Doubtful', [
    ...doubtful(told),
    ...recordings.flatMap(oppositesIn),
    ...sequences.flatMap(oppositesInGroup),
  ]);
  printCounts(
    'Problems',
    problems.map(({ message }) => pattern(message)),
  );
  printCounts(
    'Refused',
    recordings.flatMap(({ refusals }) => refusals.map(({ what, reason }) => `${what}: ${pattern(reason)}`)),
  );
}

function shutterSource({ kind, facts, shutter }: ReportedRecording): string {
  if (facts.exposureSeconds) return `${kind}: ${facts.exposureSeconds.source}`;
  return shutter?.basis === 'picture' ? `${kind}: motion blur` : `${kind}: nothing`;
}

/** A sentence without its numbers and names, so that the same one is seen as such. */
function pattern(text: string): string {
  return text
    .replace(/"[^"]*"/g, '"…"')
    .replace(/\d[\d.,:/]*/g, '#')
    .replace(/(?:# ?){2,}/g, '# ');
}

type Told = ReportedFinding & { readonly file: string };

function sentencesOf({ text, inTheEdit, nextTime }: ReportedFinding): readonly string[] {
  return [text, inTheEdit, nextTime].filter((part) => part !== undefined);
}

function printSentences(told: readonly Told[]): void {
  const said = new Map<string, string[]>();
  for (const { file, ...finding } of told)
    for (const sentence of sentencesOf(finding)) {
      const key = pattern(sentence);
      said.set(key, [...(said.get(key) ?? []), `${file}: ${sentence}`]);
    }
  console.log(`\nSentences, ${said.size} different ones`);
  for (const [, examples] of [...said].sort(([, a], [, b]) => b.length - a.length)) {
    console.log(`\n${examples.length} x`);
    for (const example of everySo(examples)) console.log(`  ${example}`);
  }
}

/** What a sentence never holds, whatever it is about. */
function doubtful(told: readonly Told[]): readonly string[] {
  return told.flatMap(({ file, ...finding }) =>
    sentencesOf(finding)
      .filter(
        (sentence) =>
          sentence.length > longestSentence ||
          /NaN|undefined|Infinity|\[object|[−-]\d[\d.]*%|(?<![\d.])0(?:\.0)? stops?\b/.test(sentence),
      )
      .map((sentence) => `${file}: ${sentence}`),
  );
}

/** Some of them, from all over. */
function everySo<T>(all: readonly T[]): readonly T[] {
  const step = Math.max(1, all.length / mostExamples);
  return Array.from({ length: Math.min(all.length, mostExamples) }, (_, at) => all[Math.floor(at * step)]!);
}

function printCounts(title: string, words: readonly string[]): void {
  const counts = new Map<string, number>();
  for (const word of words) counts.set(word, (counts.get(word) ?? 0) + 1);
  console.log(`\n${title}`);
  for (const [word, count] of [...counts].sort(([, a], [, b]) => b - a))
    console.log(`${String(count).padStart(6)}  ${word}`);
}

await main();
