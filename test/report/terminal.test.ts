import { stripVTControlCharacters } from 'node:util';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { displayText } from '../../src/domain/displayText.ts';
import type { AuditDocument } from '../../src/document/auditDocument.ts';
import type { ReportedRecording } from '../../src/document/reportedRecording.ts';
import { isFlagged } from '../../src/report/arrangement.ts';
import { cautionLine } from '../../src/report/dumpWording.ts';
import { useSentence } from '../../src/report/flightVerdict.ts';
import { showRecording } from '../../src/report/showRecording.ts';
import { terminalReport } from '../../src/report/terminal.ts';
import { paragraphLines, textWidth } from '../../src/report/terminalText.ts';
import { exampleDocument } from './exampleDocument.ts';

const plain = { columns: 100, colour: false, order: 'shooting' } as const;
const atLength = { ...plain, long: true } as const;

function widest(text: string): number {
  return Math.max(...text.split('\n').map(textWidth));
}

function named(paths: readonly string[]): AuditDocument {
  const [, first] = exampleDocument.recordings;
  if (first === undefined) throw new Error('the example is empty');
  return { ...exampleDocument, recordings: paths.map((path) => ({ ...first, path })), sequences: [] };
}

test('no line is wider than the terminal, whatever its width and the names', () => {
  const name = fc.string({ unit: 'grapheme', minLength: 1, maxLength: 120 });
  fc.assert(
    fc.property(
      fc.integer({ min: 40, max: 220 }),
      fc.array(name, { minLength: 1, maxLength: 4 }),
      (columns, names) => {
        for (const each of [plain, atLength])
          expect(widest(terminalReport(named(names), { ...each, columns }))).toBeLessThanOrEqual(columns);
      },
    ),
    { numRuns: 60 },
  );
});

test('no line of showRecording() is wider than the terminal', () => {
  for (const recording of exampleDocument.recordings)
    for (const columns of [60, 80, 160]) {
      const text = showRecording(recording, { columns, colour: false, settings: exampleDocument.settings });
      expect(widest(text)).toBeLessThanOrEqual(columns);
    }
});

test('no line ends between a number and its unit', () => {
  const text = 'from 0.5 s to 12 stops at 25 fps and 3 still';
  for (let columns = 12; columns < 40; columns++)
    for (const line of paragraphLines(text, { columns }).slice(0, -1))
      expect(line).not.toMatch(/(?:0\.5|12|25)$/);
});

test('wide characters count two cells', () => {
  expect(textWidth('映像.MP4')).toBe(8);
});

test('colour changes nothing but colour', () => {
  const coloured = terminalReport(exampleDocument, { ...plain, colour: true });
  expect(coloured).toContain('\u001b[');
  expect(stripVTControlCharacters(coloured)).toBe(terminalReport(exampleDocument, plain));
});

test('at length every recording is in the table once, or counted in the line for quiet stills', () => {
  const text = terminalReport(exampleDocument, { ...atLength, columns: 160 });
  const table = text.slice(text.indexOf('   recording '), text.indexOf('! flagged, explained'));
  const names = table.split('\n').map((line) => line.slice(3).split(/ {2}/)[0] ?? '');
  const isQuiet = ({ kind, findings }: ReportedRecording) => kind === 'still' && findings.length === 0;
  for (const recording of exampleDocument.recordings.filter((each) => !isQuiet(each))) {
    const name = displayText(recording.path.replace('DCIM/100_AERO/', ''));
    expect(names.filter((shown) => shown === name)).toEqual([name]);
  }
  expect(exampleDocument.recordings.filter(isQuiet)).toHaveLength(4);
  expect(names).toContain('4 stills without findings of their own');
});

test('the serious order puts high findings before medium ones and those before none', () => {
  const text = terminalReport(exampleDocument, { ...atLength, order: 'serious' });
  const places = ['CLIP0002.MP4', 'CLIP0003.MP4', 'CLIP0001.MP4'].map((name) =>
    text.search(new RegExp(`^[! ] {2}${name}`, 'm')),
  );
  expect(places).toEqual(places.toSorted((a, b) => a - b));
});

test('at length a flood of flagged recordings is all in the table, and the most serious are explained', () => {
  const [, short, long] = exampleDocument.recordings;
  if (short === undefined || long === undefined) throw new Error('the example is too short');
  const minor = Array.from({ length: 60 }, (_, at) => ({ ...long, path: `MINOR${at}.MP4` }));
  const recordings = [...minor, { ...short, path: 'SERIOUS.MP4' }];
  const text = terminalReport({ ...exampleDocument, recordings }, atLength);
  expect(text.match(/^!  MINOR\d+\.MP4 .*long/gm)).toHaveLength(60);
  expect(text).toMatch(/^!  SERIOUS\.MP4$/m);
  expect(text).toContain('21 more recordings flagged');
});

test('the lines of a long table are all alike, however many of them are laid out at once', () => {
  const [first, other] = exampleDocument.recordings;
  const named = (of: ReportedRecording, at: number) => ({
    ...of,
    path: `C${String(at).padStart(3, '0')}.MP4`,
  });
  const recordings = Array.from({ length: 130 }, (_, at) => named(at === 99 ? other! : first!, at));
  const lines = terminalReport({ ...exampleDocument, recordings }, atLength)
    .split('\n')
    .flatMap((line) => /^[! ] {2}C\d{3}\.MP4(?= .*\d)(.*)$/.exec(line)?.[1] ?? []);
  expect(lines).toHaveLength(130);
  expect(new Set(lines.toSpliced(99, 1)).size).toBe(1);
  // Right-aligned columns end where they end in the others.
  expect(lines[99]!.indexOf('11.3°') + 5).toBe(lines[0]!.indexOf('180°') + 4);
});

describe('the short report', () => {
  const flagged = exampleDocument.recordings.filter(isFlagged);

  test.each([40, 80, 160])(
    'at %d columns names every flagged recording and every file that is lost',
    (columns) => {
      const text = terminalReport(exampleDocument, { ...plain, columns }).replaceAll(/\s+/g, '');
      expect(flagged.length).toBeGreaterThan(3);
      for (const { path } of flagged)
        expect(text).toContain(displayText(path.replace('DCIM/100_AERO/', '')).replaceAll(' ', ''));
      expect(text).toContain('1filecouldnotberead:CLIP0009.MP4');
    },
  );

  test('says the verdict first and last, and the cautions where a filter is advised', () => {
    const text = terminalReport(exampleDocument, plain);
    const verdict = useSentence(exampleDocument)!;
    expect(text.slice(0, text.indexOf('\n\n'))).toContain(`\n${verdict}\n`);
    expect(text.split(verdict)).toHaveLength(3);
    expect(text.endsWith(`${cautionLine}\n`)).toBe(true);
    const unadvised = exampleDocument.recordings.map((recording) => ({ ...recording, filter: undefined }));
    expect(terminalReport({ ...exampleDocument, recordings: unadvised }, plain)).not.toContain(cautionLine);
  });

  test('takes at most 60 lines of 80 columns for 61 recordings with 20 flagged', () => {
    const [good, short] = exampleDocument.recordings;
    const recordings = Array.from({ length: 61 }, (_, at): ReportedRecording => {
      const one = at % 3 === 1 ? short! : good!;
      // No two are alike.
      const shutter = one.shutter && { ...one.shutter, offsetStops: -1.5 - at / 10 };
      return { ...one, path: `DCIM/100_AERO/CLIP${1000 + at}.MP4`, shutter };
    });
    expect(recordings.filter(isFlagged)).toHaveLength(20);
    const text = terminalReport({ ...exampleDocument, recordings }, { ...plain, columns: 80 });
    expect(text.split('\n').length - 1).toBeLessThanOrEqual(60);
  });

  test('keeps a summary that fits one screen', () => {
    const summary = terminalReport(exampleDocument, { ...plain, columns: 80 }).split('\n\n')[0]!;
    expect(summary.split('\n').length).toBeLessThanOrEqual(10);
  });

  test('tells once what is the same of several', () => {
    const [, short] = exampleDocument.recordings;
    const recordings = ['A.MP4', 'B.MP4', 'C.MP4'].map((path) => ({ ...short!, path }));
    const text = terminalReport(
      { ...exampleDocument, recordings, sequences: [] },
      { ...plain, columns: 160 },
    );
    expect(text).toMatch(/3 alike [^]*A\.MP4\s+to\s+C\.MP4/);
  });
});

test('exports of other programs that were left aside stand in the first line', () => {
  const text = terminalReport({ ...exampleDocument, leftAside: { edited: 8, hidden: 2 } }, plain);
  expect(text.replaceAll(/\n */g, ' ')).toContain(' 8 exports of other programs left aside.');
});

test('a dump of which nothing could be read is no empty one', () => {
  const unread = { ...exampleDocument, recordings: [], sequences: [], leftAside: {} };
  expect(unread.problems).not.toEqual([]);
  expect(terminalReport(unread, plain)).toContain('No clip or still could be read.');
});

test('an empty dump says so', () => {
  const empty = { ...exampleDocument, recordings: [], sequences: [], problems: [], leftAside: {} };
  expect(terminalReport(empty, plain)).toContain('card-014: No clips or stills were found.');
});
