import { expect, test } from 'vitest';
import type { AuditDocument } from '../../../src/document/auditDocument.ts';
import type { FindingWeight } from '../../../src/domain/findingWeight.ts';
import type { FindingKind } from '../../../src/findings/index.ts';
import { htmlReport } from '../../../src/report/html/page.tsx';
import { clippedOnly, fact } from '../exampleClip.ts';
import { exampleDocument } from '../exampleDocument.ts';
import { heavyPictures } from '../madePictures.ts';

const paths = ['S1.JPG', 'S2.JPG', 'S3.JPG'];

/** Each tile of the contact sheet of a page with one series and nothing else. */
function tilesOf(
  ofSeries: FindingKind | undefined,
  ofSecond: FindingKind | undefined,
  weight: FindingWeight = 'high',
): readonly string[] {
  const findings = (kind: FindingKind | undefined) =>
    kind === undefined ? [] : [{ kind, weight, text: '' }];
  const document: AuditDocument = {
    ...exampleDocument,
    recordings: paths.map((path, at) => ({
      ...exampleDocument.recordings[0]!,
      path,
      kind: 'still',
      findings: findings(at === 1 ? ofSecond : undefined),
    })),
    sequences: [{ kind: 'interval', paths, findings: findings(ofSeries) }],
    problems: [],
  };
  return tilesIn(document);
}

function tilesIn(document: AuditDocument): readonly string[] {
  const page = htmlReport(document, heavyPictures(document.recordings));
  const [sheet = ''] = /<ul class="sheet".*?<\/ul>/s.exec(page) ?? [];
  return sheet.match(/<li .*?<\/li>/gs) ?? [];
}

test('one picture stands for a series and leads to its entry', () => {
  const [tile, ...others] = tilesOf(undefined, undefined);
  expect(others).toEqual([]);
  expect(tile).toContain('<a href="#series-1">');
  expect(tile).toContain('interval series of 3: S1.JPG to S3.JPG');
  expect(tile).not.toContain('flagged');
});

test('it says what is wrong with the whole of a flagged series', () => {
  const [tile] = tilesOf('series-highlights-clipped', undefined);
  expect(tile).toContain('class="what alert"');
  expect(tile).toContain('highlights clipped in the series');
});

test('a mere remark on a series flags nothing, and can still be asked for', () => {
  const [tile] = tilesOf('series-exposure-short', undefined, 'low');
  expect(tile).toContain('interval series of 3');
  expect(tile).not.toContain('flagged');
  expect(tile).toContain('data-kinds-of-series="series-exposure-short"');
});

test('a still of it with a fault of its own has a picture of its own, which says that', () => {
  const [first, second, ...others] = tilesOf('series-highlights-clipped', 'shutter-impossible');
  expect(others).toEqual([]);
  expect(first).toContain('highlights clipped in the series');
  expect(second).toContain('<a href="#recording-2">');
  expect(second).toContain('recorded shutter impossible');
});

test('one that could not be measured is in no group of those that were', () => {
  const measured = { ...exampleDocument.recordings[0]!, kind: 'still' as const, findings: [] };
  const { picture: _, ...unmeasured } = measured;
  const recordings = [
    { ...measured, path: 'S1.JPG' },
    { ...unmeasured, path: 'S2.JPG' },
  ];
  const page = htmlReport({ ...exampleDocument, recordings, sequences: [], problems: [] });
  const groups = page.match(/<section class="group .*?<\/section>/gs) ?? [];
  expect(groups).toHaveLength(2);
  expect(groups[0]).toContain('Use 1');
  expect(groups[0]).toContain('S1.JPG');
  expect(groups[1]).toContain('Not measured 1');
  expect(groups[1]).toContain('S2.JPG');
});

test('an entry leads to its file, whatever the name of that', () => {
  const recordings = [{ ...exampleDocument.recordings[0]!, path: 'DCIM/a b#1".MP4' }];
  const page = htmlReport({ ...exampleDocument, recordings, sequences: [], problems: [] }, [], '../card/');
  expect(page).toContain('href="../card/DCIM/a%20b%231%22.MP4"');
  expect(htmlReport({ ...exampleDocument, recordings, sequences: [] })).not.toContain('Open the file');
});

test('what is the same of two recordings is said once', () => {
  const [, short] = exampleDocument.recordings;
  const recordings = ['A.MP4', 'B.MP4'].map((path) => ({ ...short!, path }));
  const page = htmlReport({ ...exampleDocument, recordings, sequences: [], problems: [] });
  expect(page.split(short!.findings[0]!.text)).toHaveLength(2);
  expect(page).toContain('The same is to be said as of <a href="#recording-1">A.MP4</a>');
});

test('each picture of a clip has its time line below it: what is burnt, what stutters, what is usable', () => {
  const clip = clippedOnly({ durationSeconds: fact(20), startTimecode: undefined }, [
    { startSeconds: 4, endSeconds: 9 },
  ]);
  const [tile = ''] = tilesIn({ ...exampleDocument, recordings: [clip], sequences: [], problems: [] });
  expect(tile).toContain(
    'aria-label="Of 20 s: usable 0 s to 4 s; highlights clipped 4 s to 9 s; usable 9 s to 20 s"',
  );
  expect(tile).toContain('<rect class="clipped spoils" x="20.00%" width="25.00%"');
  expect(tile).toContain('<rect class="usable" x="45.00%" width="55.00%"');
});
