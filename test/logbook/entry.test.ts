import { describe, expect, it, test } from 'vitest';
import { exportedText, parseExported } from '../../src/logbook/exchange.ts';
import { flightsOf } from '../../src/logbook/entry.ts';
import { localTime, momentOf } from '../../src/logbook/moments.ts';
import { groupByFilter, withFilters, type NotedRecording } from '../../src/logbook/notesProposal.ts';
import { parseFlightNotes } from '../../src/reading/flightNotes.ts';
import { notesText } from '../../src/reporting/logbook/notesText.ts';
import { exampleDocument } from '../reporting/exampleDocument.ts';
import { madeFlight } from './madeFlight.ts';

const noon = { elevationDegrees: 40, azimuthDegrees: 0 };
const context = { sunPosition: () => noon, zoneOffsetAt: () => 0 };

describe('momentOf()', () => {
  const zoneOffsetAt = () => 120;
  it('takes a recorded offset as it is', () => {
    const found = momentOf({ recordedAt: '2026-05-14T12:00:00-03:30', longitude: 0, zoneOffsetAt });
    expect(found).toEqual({ atMs: Date.UTC(2026, 4, 14, 15, 30), offsetMinutes: -210, basis: 'recorded' });
  });
  it("assumes this computer's zone where the longitude allows it, or is not known", () => {
    for (const longitude of [15, -4, undefined])
      expect(momentOf({ recordedAt: '2026-05-14T12:00:00', longitude, zoneOffsetAt })).toEqual({
        atMs: Date.UTC(2026, 4, 14, 10),
        offsetMinutes: 120,
        basis: 'computer-zone',
      });
  });
  it('else that of the longitude, also across the date line', () => {
    const found = momentOf({ recordedAt: '2026-05-14T12:00:00', longitude: -126.7, zoneOffsetAt });
    expect(found).toMatchObject({ offsetMinutes: -480, basis: 'longitude-zone' });
    expect(
      momentOf({ recordedAt: '2026-05-14T12:00:00', longitude: -179, zoneOffsetAt: () => 720 }),
    ).toMatchObject({ basis: 'computer-zone' });
  });
  it.each(['', 'yesterday', '2026-13-40T99:00:00', '2026-05-14'])('knows nothing of %j', (recordedAt) => {
    expect(momentOf({ recordedAt, zoneOffsetAt })).toBeUndefined();
  });
});

describe('localTime()', () => {
  it('puts a time in UTC into the zone of the flight, also into another day', () => {
    const zoneOffsetAt = () => 120;
    const at = (recordedAt: string, longitude: number) => localTime({ recordedAt, longitude, zoneOffsetAt });
    expect(at('2026-01-15T01:40:00Z', -126.7)).toBe('2026-01-14T17:40:00-08:00');
    expect(at('2026-01-15T01:40:00Z', 20)).toBe('2026-01-15T03:40:00+02:00');
  });
  it.each(['2026-01-15T01:40:00+09:30', '2026-01-15T01:40:00', 'yesterdayZ'])(
    'leaves %j as it is',
    (text) => {
      expect(localTime({ recordedAt: text, longitude: 20, zoneOffsetAt: () => 120 })).toBe(text);
    },
  );
});

describe('flightsOf()', () => {
  const entered = flightsOf(exampleDocument, {
    ...context,
    notes: { place: 'Long Shoal', sky: 'haze', text: 'notes' },
  });
  const recordings = entered.flatMap((flight) => flight.recordings);

  it('enters every recording once, with what was noted', () => {
    expect(recordings.map(({ path }) => path)).toEqual(exampleDocument.recordings.map(({ path }) => path));
    expect(entered[0]).toMatchObject({
      dump: exampleDocument.dump,
      place: 'Long Shoal',
      sky: 'haze',
      notes: 'notes',
    });
  });

  it('keeps the light behind the filter, so that a strength learned later changes what was in front of it', () => {
    const known = exampleDocument.recordings.flatMap(({ exposure, filter }, at) =>
      exposure.sceneEv100 !== undefined && filter?.fitted !== undefined ? [{ exposure, filter, at }] : [],
    );
    expect(known.length).toBeGreaterThan(0);
    for (const { exposure, filter, at } of known)
      expect(recordings[at]!.sensorEv100! + filter.fitted!.stops).toBeCloseTo(exposure.sceneEv100!, 9);
  });

  it('does not take over a filter that the light contradicts beyond any weather', () => {
    const known = exampleDocument.recordings.find(({ filter }) => filter?.fitted !== undefined)!;
    const enteredWith = (weight: 'medium' | 'low') => {
      const { label, stops: filterStops } = known.filter!.fitted!;
      const finding = {
        kind: 'filter-forgotten',
        weight,
        label,
        filterStops,
        brighterStops: filterStops,
        text: '',
      } as unknown as (typeof known.findings)[number];
      const document = { ...exampleDocument, recordings: [{ ...known, findings: [finding] }] };
      return flightsOf(document, context)[0]!.recordings[0]!.fitted?.label;
    };
    expect(enteredWith('medium')).toBeUndefined();
    expect(enteredWith('low')).toBe(known.filter!.fitted!.label);
  });

  it('parts a card that holds several days', () => {
    const moved = exampleDocument.recordings.map((one, at) => ({
      ...one,
      facts: {
        ...one.facts,
        recordedAt: { value: `2026-05-${at === 0 ? 10 : 14}T12:00:0${at % 10}`, source: 'test' },
      },
    }));
    const flights = flightsOf({ ...exampleDocument, recordings: moved }, context);
    expect(flights.map((flight) => flight.recordings.length)).toEqual([1, moved.length - 1]);
  });

  it('gives a recording the same fingerprint wherever it lies, also where the audit had none', () => {
    const [first] = exampleDocument.recordings;
    const { fingerprint: _, ...bare } = first!;
    const one = (path: string) =>
      flightsOf({ ...exampleDocument, recordings: [{ ...bare, path }] }, context)[0]!.recordings[0]!
        .fingerprint;
    expect(one('A/CLIP.MP4')).toBe(one('B/renamed.MP4'));
    expect(one('A/CLIP.MP4')).toMatch(/^[0-9a-f]{32}$/);
  });
});

describe('an export', () => {
  it('is read again as it was', () => {
    const flights = [madeFlight(1, 3), madeFlight(2, 2)];
    expect(parseExported([...exportedText(flights)].join(''), 'export.json')).toEqual(flights);
    expect(parseExported([...exportedText([])].join(''), 'export.json')).toEqual([]);
  });
  test.each([
    ['not JSON', '{', /is no JSON/],
    ['another format', '{"format": "halfturn-audit"}', /is no export of a logbook: format/],
    [
      'a wrong kind',
      [...exportedText([madeFlight(1, 1)])].join('').replace('"clip"', '"film"'),
      /flights\.0\.recordings\.0\.kind/,
    ],
  ])('is refused where it is %s', (_, text, message) => {
    expect(() => parseExported(text, 'export.json')).toThrow(message);
  });
});

describe('groupByFilter()', () => {
  const at = (minute: number, sensorEv100: number): NotedRecording => ({
    path: `CLIP${minute}.MP4`,
    atMs: minute * 60_000,
    sensorEv100,
    expectedEv100: 14,
  });

  it('parts recordings at a pause and at a jump of the brightness, and at nothing else', () => {
    const groups = groupByFilter([at(0, 10), at(2, 10.6), at(4, 9.5), at(30, 10), at(32, 14), at(34, 13.5)]);
    expect(groups.map(({ reason, members }) => [reason, members.length])).toEqual([
      ['first', 3],
      ['pause', 1],
      ['brightness', 2],
    ]);
  });

  it('expects the light to change with the sun', () => {
    const dusk = [14, 12, 10].map((light, step) => ({ ...at(step * 5, light - 4), expectedEv100: light }));
    expect(groupByFilter(dusk)).toHaveLength(1);
  });

  it('keeps recordings of which nothing is known with those before them', () => {
    const groups = groupByFilter([at(0, 10), { path: 'CLIP1.MP4' }, at(3, 10)]);
    expect(groups).toHaveLength(1);
  });

  it('names the filters that the missing light looks like', () => {
    const kit = [3, 4, 6].map((stops) => ({ label: `ND${2 ** stops}`, stops }));
    const groups = withFilters(groupByFilter([at(0, 14.2), at(2, 10.1), at(4, 8.2)]), kit);
    expect(groups.map(({ filter }) => filter?.label)).toEqual(['none', 'ND16', 'ND64']);
    for (const { filter } of groups) expect(filter!.probability).toBeGreaterThan(0.5);
  });

  it('proposes none where neither time nor place is known', () => {
    const groups = withFilters(groupByFilter([{ path: 'A.MP4', sensorEv100: 10 }]), []);
    expect(groups[0]!.filter).toBeUndefined();
  });
});

describe('notesText()', () => {
  const kit = [{ label: 'ND16', stops: 4 }];
  const group = { reason: 'first', files: ['CLIP0001.MP4', 'odd "name"\\.MP4'] } as const;

  it('is valid notes, with the proposal in force', () => {
    const text = notesText({
      place: 'Long "Shoal"',
      latitude: -47,
      longitude: 12.5,
      sky: 'haze',
      kit: ['ND16'],
      groups: [{ ...group, filter: { label: 'ND16', probability: 0.8 } }],
    });
    const notes = parseFlightNotes(text, 'flight.toml', kit);
    expect(notes).toMatchObject({ place: 'Long "Shoal"', latitude: -47, longitude: 12.5, sky: 'haze' });
    expect(notes.fitted[0]).toMatchObject({ filter: { label: 'ND16' }, files: group.files });
  });

  it('is valid notes where nothing is known', () => {
    const notes = parseFlightNotes(notesText({ kit: [], groups: [group] }), 'flight.toml', kit);
    expect(notes.fitted).toEqual([]);
  });
});
