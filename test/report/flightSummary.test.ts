import { stripVTControlCharacters } from 'node:util';
import { expect, test, describe } from 'vitest';
import type { AuditDocument, ReportedSequence } from '../../src/document/auditDocument.ts';
import type { ReportedRecording } from '../../src/document/reportedRecording.ts';
import type { FindingWeight } from '../../src/domain/findingWeight.ts';
import type { FindingKind } from '../../src/findings/index.ts';
import { displayedAudit } from '../../src/report/arrangement.ts';
import { jsonReport } from '../../src/report/files/jsonReport.ts';
import { markdownSummary } from '../../src/report/files/markdownSummary.ts';
import { countSentence, flightLines, headlines } from '../../src/report/flightSummary.ts';
import { htmlReport } from '../../src/report/html/page.tsx';
import { recordingColumns, tableLegend } from '../../src/report/recordingsTable.ts';
import { terminalReport } from '../../src/report/terminal.ts';
import { exampleDocument } from './exampleDocument.ts';

function line(
  document: AuditDocument,
  label: ReturnType<typeof flightLines>[number]['label'],
): string | undefined {
  return flightLines(displayedAudit(document)).find((each) => each.label === label)?.text;
}

function withRecordings(recordings: readonly ReportedRecording[]): AuditDocument {
  return { ...exampleDocument, recordings };
}

const [good] = exampleDocument.recordings;
if (good === undefined) throw new Error('the example is empty');

test('a series that is flagged as a whole is counted, though none of its stills is flagged', () => {
  const quiet: ReportedRecording = { ...good, kind: 'still', findings: [] };
  const of = (kind: ReportedSequence['kind'], weight: FindingWeight): ReportedSequence => ({
    kind,
    paths: [quiet.path],
    findings: [{ kind: 'series-highlights-clipped', weight, text: '' }],
  });
  const said = (...sequences: readonly ReportedSequence[]): string =>
    countSentence(displayedAudit({ ...exampleDocument, recordings: [quiet, quiet], sequences }));
  expect(said(of('interval', 'low'))).toBe('2 stills, none flagged.');
  expect(said(of('interval', 'high'))).toBe('2 stills, none flagged; 1 interval series flagged as a whole.');
  expect(said(of('bracket', 'medium'), of('bracket', 'high'), of('interval', 'high'))).toBe(
    '2 stills, none flagged; 2 brackets and 1 interval series flagged as a whole.',
  );
});

test('of pictures that could not be measured nothing is said to be in order', () => {
  const { picture: _, ...rest } = good;
  const unmeasured: ReportedRecording = { ...rest, kind: 'still', findings: [] };
  const numbered = (recording: ReportedRecording, count: number): readonly ReportedRecording[] =>
    Array.from({ length: count }, (_each, at) => ({
      ...recording,
      path: `DCIM/S${at}${recording.kind}.HEIC`,
    }));
  const said = (recordings: readonly ReportedRecording[], message?: string, measure?: 'off'): string =>
    countSentence(
      displayedAudit({
        ...exampleDocument,
        settings: { ...exampleDocument.settings, ...(measure && { measure }) },
        recordings,
        sequences: [],
        problems: message === undefined ? [] : recordings.map(({ path }) => ({ path, message, hint: '' })),
      }),
    );
  const all = numbered(unmeasured, 8);
  expect(said(all)).toBe('8 stills. 8 of 8 stills could not be measured.');
  expect(said(all, 'could not be measured, only read: no decoder is here')).toBe(
    '8 stills. 8 of 8 stills could not be measured: no decoder is here.',
  );
  expect(said([...all, ...numbered({ ...good, findings: [] }, 2)])).toBe(
    '2 clips and 8 stills, none flagged. 8 of 8 stills could not be measured.',
  );
  expect(said(all, undefined, 'off')).toBe('8 stills, none flagged.');
});

test('a column that says nothing of any recording is left out', () => {
  const { filter: _, ...bare } = good;
  const heads = (recordings: readonly ReportedRecording[]) =>
    recordingColumns(recordings, 180).map(({ head }) => head);
  expect(heads([bare])).not.toContain('carry');
  expect(heads([bare, good])).toContain('carry');
});

test.each(['hlg', 'pq'] as const)(
  'an exposure by the level of a picture in %s stands in brackets',
  (transfer) => {
    const facts = { ...good.facts, transfer: { value: transfer, source: 'stream colour transfer' } };
    const exposure = { offsetStops: 1.9, basis: 'picture' } as const;
    const columns = recordingColumns([{ ...good, facts, exposure }], 180);
    const { cell } = columns.find(({ head }) => head === 'exposure')!;
    expect(cell({ ...good, facts, exposure })).toBe('(+1.9)');
    expect(tableLegend([{ ...good, facts, exposure }])).toContain('( ) HLG or PQ');
    expect(cell({ ...good, facts, exposure: { ...exposure, basis: 'metered' } })).toBe('+1.9');
    expect(tableLegend([good])).not.toContain('HLG');
  },
);

const example = exampleDocument.recordings[0]!;

type Found = readonly (readonly [FindingKind, FindingWeight])[];

function findings(found: Found): ReportedRecording['findings'] {
  return found.map(([kind, weight]) => ({ kind, weight, text: '' }));
}

function clip(path: string, ...found: Found): ReportedRecording {
  return { ...example, path, findings: findings(found) };
}

function series(kind: ReportedSequence['kind'], paths: readonly string[], ...found: Found): ReportedSequence {
  return { kind, paths, findings: findings(found) };
}

function documentOf(
  recordings: readonly ReportedRecording[],
  sequences: readonly ReportedSequence[] = [],
): AuditDocument {
  return { ...exampleDocument, recordings, sequences, problems: [] };
}

function texts(document: AuditDocument): readonly string[] {
  return headlines(displayedAudit(document)).map(({ text }) => text);
}

test('a series that is flagged as a whole matters although none of its stills is flagged', () => {
  const stills = ['A/S1.JPG', 'A/S2.JPG', 'A/S3.JPG'];
  const [matter, ...others] = headlines(
    displayedAudit(
      documentOf(
        stills.map((path) => clip(path)),
        [series('bracket', ['A/B1.JPG']), series('interval', stills, ['series-highlights-clipped', 'high'])],
      ),
    ),
  );
  expect(matter).toEqual({
    text: 'Highlights clipped in the series: S1.JPG to S3.JPG.',
    first: { list: 'sequences', index: 1 },
  });
  expect(others).toEqual([]);
});

test('what more than one bracket has is said once', () => {
  const missing = ['bracket-frame-missing', 'medium'] as const;
  expect(
    texts(
      documentOf([], [series('bracket', ['1', '2'], missing), series('bracket', ['A/4', 'A/5'], missing)]),
    ),
  ).toEqual(['Bracket frame missing, 2 times: 1 to 2, 4 to 5.']);
});

test('one high finding of a series outweighs seven medium ones of clips, and remarks count for nothing', () => {
  const clips = Array.from({ length: 7 }, (_, at) =>
    clip(`C${at}`, ['shutter-short', 'medium'], ['flicker', 'low']),
  );
  const said = (extra: readonly ReportedRecording[]) =>
    texts(documentOf([...clips, ...extra], [series('interval', ['1', '2'], ['series-too-bright', 'high'])]));
  expect(said([])).toEqual([
    'Series too bright: 1 to 2.',
    'Shutter too short in 7 recordings: C0, C1, C2, C3 and 3 others.',
  ]);
  expect(said([clip('C7', ['shutter-short', 'high'])])[0]).toMatch(/^Shutter too short in 8 recordings/);
});

test('recordings of one name in two folders are two, one that has a finding twice is one', () => {
  expect(
    texts(
      documentOf([
        clip('A/C1.MP4', ['too-bright', 'medium'], ['too-bright', 'medium']),
        clip('B/C1.MP4', ['too-bright', 'medium']),
      ]),
    ),
  ).toEqual(['Too bright in 2 recordings: C1.MP4, C1.MP4.']);
});

test('in the page each leads to the first entry that it is about', () => {
  const page = htmlReport(
    documentOf(
      [clip('C1.MP4'), clip('C2.MP4', ['too-bright', 'high'])],
      [series('interval', ['1', '2']), series('interval', ['3', '4'], ['series-too-bright', 'high'])],
    ),
  );
  for (const [id, start] of [
    ['recording-2', 'Too bright in'],
    ['series-2', 'Series too bright: 3 to 4'],
  ] as const) {
    expect(page).toContain(`<a href="#${id}">${start}`);
    expect(page.split(`id="${id}"`)).toHaveLength(2);
  }
});

const sentence = 'This sentence stands with each recording.';

function shotAt(name: string, framesPerSecond: number, isOdd = false): ReportedRecording {
  return {
    ...good!,
    path: `DCIM/${name}.MP4`,
    facts: { ...good!.facts, framesPerSecond: { value: framesPerSecond, source: 'test' } },
    findings: isOdd ? [{ kind: 'frame-rate-mix', weight: 'low', text: sentence }] : [],
  };
}

const flight = (...recordings: readonly ReportedRecording[]): AuditDocument => ({
  ...exampleDocument,
  recordings,
  sequences: [],
});

const mixed = flight(
  shotAt('A', 30),
  shotAt('B', 30),
  shotAt('C', 30_000 / 1001),
  shotAt('D', 25, true),
  shotAt('E', 24, true),
  shotAt('F', 24, true),
);

describe('the line about rates', () => {
  test('names the clips by their rates, the most frequent rate first, and what they do not go with', () => {
    expect(line(mixed, 'rates')).toBe(
      '24 fps in E.MP4, F.MP4; 25 fps in D.MP4. Cut with the rest (30, 29.97 fps) these stutter: ' +
        'use them for short shots, or let the editing program interpolate frames',
    );
  });

  test('goes by the rate of playing, which is what is cut', () => {
    const slow = shotAt('S', 120, true);
    const played = { ...slow.facts, playbackFramesPerSecond: { value: 25, source: 'test' } };
    expect(line(flight(shotAt('A', 30), { ...slow, facts: played }), 'rates')).toMatch(
      /^25 fps in S\.MP4\. /,
    );
  });

  test('counts what is too much to name', () => {
    const many = Array.from({ length: 7 }, (_, at) => shotAt(`R${at}`, 31 + at, true));
    const same = ['A', 'B', 'C', 'D', 'E'].map((name) => shotAt(name, 25, true));
    const said = line(flight(shotAt('REST', 30), ...many, ...same), 'rates');
    expect(said).toMatch(/^25 fps in A\.MP4, B\.MP4, C\.MP4 and 2 others; 31 fps in R0\.MP4; /);
    expect(said).toContain('; 34 fps in R3.MP4; other rates in 3 more. Cut with the rest (30 fps)');
  });

  test('has nothing to say of a flight whose rates go together', () => {
    expect(line(flight(shotAt('A', 30), shotAt('B', 60)), 'rates')).toBeUndefined();
  });
});

describe('rates that do not mix', () => {
  const once = '24 fps in E.MP4, F.MP4; 25 fps in D.MP4.';

  test('are said once on the terminal at length: no entry, no remark', () => {
    const text = terminalReport(mixed, { columns: 200, colour: false, order: 'shooting', long: true });
    expect(stripVTControlCharacters(text).replaceAll(/\s+/g, ' ').split(once)).toHaveLength(2);
    expect(text).not.toContain('frame rate differs');
    expect(text).not.toContain('Remarks');
    expect(text).not.toMatch(/^!/m);
  });

  test('are said once on the page, where the clips can still be picked out', () => {
    const page = htmlReport(mixed);
    expect(page.split(once)).toHaveLength(2);
    expect(page).not.toContain(sentence);
    expect(page.slice(0, page.indexOf('id="meanings"'))).not.toContain('Frame rate differs');
    expect(page).toContain('<option value="frame-rate-mix">frame rate differs from the flight (3)</option>');
  });

  test('are said once in Markdown', () => {
    expect(markdownSummary(mixed).replaceAll('\\', '').split(once)).toHaveLength(2);
  });

  test('stand with each recording in the document', () => {
    expect(jsonReport(mixed).split(sentence)).toHaveLength(4);
  });
});

// ANSI PH2.7-1973 and PH2.7-1986, as merged in the table "Exposure value" of general encyclopedias; rows read there.
test.each([
  [16, 'sunlit sand or snow'],
  [15, 'full sun'],
  [14, 'hazy sun'],
  [13, 'a bright cloudy day'],
  [12, 'heavy overcast or open shade'],
  [9, 'the minutes around sunset'],
  [7, 'dusk or lamplight'],
])('light of EV %d is as bright as %s', (sceneEv100, name) => {
  const recording = { ...good, exposure: { ...good.exposure, sceneEv100 } };
  expect(line(withRecordings([recording]), 'light')).toMatch(`as bright as ${name}`);
});
