import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { buildHostile, removeHostile } from '../../sample-media-generator/hostile/build.ts';
import type { HostileCase } from '../../sample-media-generator/hostile/cases.ts';
import { auditDocumentSchema, type AuditDocument } from '../../src/document/auditDocument.ts';
import type { ReportedRecording } from '../../src/document/reportedRecording.ts';
import { displayText } from '../../src/domain/displayText.ts';
import { clipsCsv } from '../../src/report/files/clipsCsv.ts';
import { jsonReport } from '../../src/report/files/jsonReport.ts';
import { htmlReport } from '../../src/report/html/page.tsx';
import { showRecording } from '../../src/report/showRecording.ts';
import { terminalReport } from '../../src/report/terminal.ts';
import { everything } from '../everything.ts';
import { settled, type Outcome } from './hostileOutcomes.ts';
import { auditWatched, worstCases, type HostileRun } from './hostileRun.ts';

/** Bounds of memory for one audit of the whole folder. What hangs runs into the time limit of `beforeAll`. */
const limits = {
  childPeakBytes: 900e6,
  // What the process holds without reading anything (about 130 MB with the loader of the sources) included.
  ownPeakBytes: { off: 400e6, sampled: 400e6 },
} as const;

let folder = '';
let cases: readonly HostileCase[] = [];
// What is measured is read as well, so `npm test` goes without the audits that only read.
const modes = everything ? (['off', 'sampled'] as const) : (['sampled'] as const);
const runs: Partial<Record<'off' | 'sampled', HostileRun>> = {};

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'halfturn-hostile-'));
  cases = await buildHostile(folder);
  for (const measure of modes) {
    const run = await auditWatched(folder, measure);
    runs[measure] = run;
    console.log(`measure ${measure}: ${worstCases(run, whatOf)}`);
  }
}, 300_000);

afterAll(() => removeHostile(folder));

function whatOf(path: string): string {
  const found = cases.find((one) => pathOf(one) === path || stemOf(pathOf(one)) === stemOf(path));
  return found?.what ?? '';
}

const pathOf = ({ path }: HostileCase): string => displayText(path);
const stemOf = (path: string): string => path.replace(/\.[^.]*$/, '');

interface Became {
  readonly recordings: readonly ReportedRecording[];
  readonly problems: readonly string[];
  readonly refusals: readonly string[];
}

/** What came of a case: for a sidecar, of its recording; for a folder, of all that lies in it. */
function became(one: HostileCase, document: AuditDocument): Became {
  const path = pathOf(one);
  const belongs = (other: string): boolean =>
    one.kind === 'tree' ? other.startsWith(`${path}/`) : other === path;
  const recordings = document.recordings.filter((recording) =>
    one.kind === 'sidecar' ? recording.sidecars.includes(path) : belongs(recording.path),
  );
  const problems = document.problems.filter(
    (problem) => belongs(problem.path) || recordings.some((recording) => recording.path === problem.path),
  );
  return {
    recordings,
    problems: problems.map(({ message }) => message),
    refusals: recordings.flatMap(({ refusals }) => refusals.map(({ reason }) => reason)),
  };
}

function outcome({ recordings, problems, refusals }: Became): Outcome {
  if (recordings.length === 0) return problems.length === 0 ? 'aside' : 'problem';
  if (problems.length > 0) return 'audited-and-problem';
  return refusals.length > 0 ? 'audited-with-refusals' : 'audited';
}

function exposures({ facts, track }: ReportedRecording): number[] {
  const { exposureSeconds } = facts;
  return [
    exposureSeconds?.value,
    ...(exposureSeconds?.others ?? []).map(({ value }) => value),
    ...(track?.timeline ?? []).map((sample) => sample.exposureSeconds),
  ].filter((value) => value !== undefined);
}

describe.each(modes)('audit() of a hostile folder, measure %s', (measure) => {
  const run = (): HostileRun => runs[measure]!;
  const document = (): AuditDocument => run().document;

  test('every case comes to what it must come to', () => {
    expect(cases.length).toBeGreaterThanOrEqual(170);
    const wrong = cases.flatMap((one) => {
      const is = outcome(became(one, document()));
      const expected = settled(one, measure);
      return is === expected ? [] : [`${pathOf(one)} (${one.what}): ${is}, not ${expected}`];
    });
    expect(wrong).toEqual([]);
  });

  test('nobody believes a trap, and nothing without an exposure gets one', () => {
    for (const one of cases) {
      const found = became(one, document()).recordings.flatMap(exposures);
      for (const value of found) expect(Math.abs(value * 7 - 1), pathOf(one)).toBeGreaterThan(1e-3);
      if (one.noExposure) expect(found, pathOf(one)).toEqual([]);
    }
  });

  test('the good neighbours are read right', () => {
    const good = cases.filter(({ truth }) => truth !== undefined);
    expect(good).toHaveLength(3);
    for (const one of good) {
      const [recording] = became(one, document()).recordings;
      expect(recording?.facts.exposureSeconds?.value, pathOf(one)).toBeCloseTo(one.truth!.exposureSeconds, 9);
      expect(recording?.facts.iso?.value).toBe(one.truth!.iso);
      expect(recording?.facts.fNumber?.value).toBeCloseTo(one.truth!.fNumber, 9);
      expect(recording?.refusals).toEqual([]);
      if (measure === 'sampled') expect(recording?.picture?.framesMeasured).toBeGreaterThan(0);
    }
  });

  test('each problem is a plain sentence with what to do', () => {
    expect(document().problems.length).toBeGreaterThan(30);
    for (const { path, message, hint } of document().problems) {
      for (const text of [message, hint]) {
        expect(text, path).toMatch(/^[ -~]{8,400}$/);
        expect(text, path).not.toMatch(
          /\bat .{1,80}:\d+:\d+|[A-Z]\w*Error\b|undefined|NaN|0x[0-9a-f]{6}|\/proc\//,
        );
        expect(text, path).not.toContain('fault in Halfturn');
      }
    }
  });

  test('no number is what no camera can have recorded', () => {
    expect(auditDocumentSchema.safeParse(document()).error).toBeUndefined();
    for (const { path, facts } of document().recordings) {
      const { exposureSeconds, iso, fNumber, framesPerSecond } = facts;
      if (exposureSeconds) expect(exposureSeconds.value, path).toBeLessThanOrEqual(86_400);
      if (iso) expect(iso.value, path).not.toBe(65_535);
      if (fNumber) expect(fNumber.value, path).toBeGreaterThan(0);
      if (framesPerSecond) expect(framesPerSecond.value, path).toBeLessThanOrEqual(2000);
    }
  });

  test('no process takes much memory', () => {
    const large = run().files.filter(({ childPeakBytes }) => childPeakBytes >= limits.childPeakBytes);
    expect(large.map(({ path }) => path)).toEqual([]);
    expect(run().peakBytes).toBeLessThan(limits.ownPeakBytes[measure]);
  });

  // Everything that a terminal or a page would obey; a line end is the report's own.
  const obeyed =
    // oxlint-disable-next-line no-control-regex
    /[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff]/;

  test('nothing that is printed holds a character that would be obeyed', () => {
    const terminal = terminalReport(document(), { columns: 100, colour: false, order: 'shooting' });
    const shown = document().recordings.map((recording) =>
      showRecording(recording, { columns: 100, colour: false, settings: document().settings }),
    );
    const texts = {
      terminal,
      json: jsonReport(document()),
      html: htmlReport(document()),
      // It begins with the byte order mark that spreadsheets ask for.
      csv: clipsCsv(document())
        .replaceAll('\r\n', '\n')
        .replace(/^\ufeff/, ''),
      show: shown.join('\n'),
    };
    for (const [name, text] of Object.entries(texts)) {
      expect(text.length, name).toBeGreaterThan(1000);
      expect(obeyed.exec(text)?.[0], name).toBeUndefined();
    }
    expect(texts.html).not.toContain('<img src=x');
    expect(texts.csv).not.toMatch(/^[=+\-@]|,[=@]/m);
  });
});
