import { mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { buildProgram } from '../../src/cli/program.ts';
import { jsonReport } from '../../src/report/files/jsonReport.ts';
import { exampleDocument } from '../report/exampleDocument.ts';

let scratch: string;
const inScratch = (...parts: string[]) => path.join(scratch, ...parts);

beforeEach(() => {
  scratch = mkdtempSync(path.join(tmpdir(), 'halfturn-report-'));
  vi.spyOn(process.stdout, 'write').mockReturnValue(true);
});
afterEach(() => {
  vi.restoreAllMocks();
  rmSync(scratch, { recursive: true, force: true });
});

async function runReport(file: string, { out }: { readonly out: string }) {
  let status: number | undefined;
  const args = ['report', file, '--out', out];
  const cardPlaces = { volumes: [], parents: [], wallMs: 0 };
  const program = await buildProgram(args, { end: (ended) => (status = ended), cardPlaces });
  await program.parseAsync(args, { from: 'user' });
  return status;
}

describe('halfturn report', () => {
  it('writes the whole report again from audit.json', async () => {
    writeFileSync(inScratch('audit.json'), jsonReport(exampleDocument));
    expect(await runReport(inScratch('audit.json'), { out: inScratch('again') })).toBe(0);
    expect(readdirSync(inScratch('again')).toSorted()).toEqual([
      'audit.json',
      'clips.csv',
      'files.sha256',
      'report.html',
      'summary.md',
      'timeline.otio',
      'usable.txt',
      'webvtt',
      'xmp',
    ]);
    expect(JSON.parse(readFileSync(inScratch('again', 'audit.json'), 'utf8'))).toEqual(exampleDocument);
    // Each under its whole name and its base name.
    expect(readdirSync(inScratch('again', 'xmp', 'DCIM', '100_AERO'))).toHaveLength(
      2 * exampleDocument.recordings.length,
    );
  });

  it('never writes outside the folder, whatever paths the document holds', async () => {
    const [first] = exampleDocument.recordings;
    const paths = ['../../outside.MP4', '/etc/outside.MP4', 'a/../../../outside.MP4', '..\\outside.MP4', ''];
    const recordings = paths.map((each) => ({ ...first!, path: each }));
    const hostile = { ...exampleDocument, recordings, sequences: [] };
    mkdirSync(inScratch('deep', 'er'), { recursive: true });
    writeFileSync(inScratch('audit.json'), jsonReport(hostile));
    await runReport(inScratch('audit.json'), { out: inScratch('deep', 'er', 'again') });
    expect(readdirSync(scratch).toSorted()).toEqual(['audit.json', 'deep']);
    expect(readdirSync(inScratch('deep', 'er'))).toEqual(['again']);
    const sidecars = readdirSync(inScratch('deep', 'er', 'again', 'xmp'), { recursive: true }).map(String);
    const named = sidecars.filter((name) => name.endsWith('.xmp'));
    expect(named.filter((name) => name.endsWith('.MP4.xmp'))).toHaveLength(paths.length - 1);
    expect(named).toContain('_.xmp');
  });

  it('refuses a file that is not there, and a folder inside the dump', async () => {
    await expect(runReport(inScratch('none.json'), { out: scratch })).rejects.toThrow(/cannot be read/);
    mkdirSync(inScratch('card'));
    writeFileSync(inScratch('audit.json'), jsonReport({ ...exampleDocument, dump: inScratch('card') }));
    await expect(runReport(inScratch('audit.json'), { out: inScratch('card', 'report') })).rejects.toThrow(
      /inside the dump/,
    );
  });
});
