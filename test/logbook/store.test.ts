import {
  chmodSync,
  copyFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it, test } from 'vitest';
import { HalfturnError } from '../../src/domain/halfturnError.ts';
import { connectedForReading, guarded } from '../../src/logbook/connection.ts';
import { migrations, openLogbook, type Logbook } from '../../src/logbook/store.ts';
import { madeFlight, madeRecording } from './madeFlight.ts';
import { openDatabase } from './openDatabase.ts';

let folder: string;
let file: string;
beforeEach(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'halfturn-logbook-'));
  file = path.join(folder, 'data', 'logbook.sqlite');
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

function using<T>(work: (logbook: Logbook) => T): T {
  const logbook = openLogbook(file, { create: true });
  try {
    return work(logbook);
  } finally {
    logbook.close();
  }
}

/** A logbook as an earlier version left it. */
function fromFixture(version: number, more = ''): void {
  mkdirSync(path.dirname(file), { recursive: true });
  const fixture = path.join(import.meta.dirname, 'fixtures', `logbook-${version}.sql`);
  const database = openDatabase(file);
  database.exec(`${readFileSync(fixture, 'utf8')};${more}`);
  database.close();
}

describe('enter()', () => {
  it('keeps a flight whole: what went in comes out', () => {
    const flight = madeFlight(1, 5);
    using((logbook) => logbook.enter([flight]));
    expect(using((logbook) => logbook.flight(1))).toEqual(flight);
  });

  it('counts a card once, however often and under whatever name it is audited', () => {
    const again = { ...madeFlight(1, 5), dump: 'renamed', enteredAt: '2026-06-01T00:00:00Z' };
    const results = using((logbook) => [logbook.enter([madeFlight(1, 5)]), logbook.enter([again])]);
    expect(results).toEqual([
      { flights: 1, ids: [1], entered: 5, updated: 0, corrected: 0, withFilter: 5 },
      { flights: 1, ids: [1], entered: 0, updated: 5, corrected: 0, withFilter: 5 },
    ]);
    expect(using((logbook) => logbook.flights())).toHaveLength(1);
  });

  it('adds what was shot since to the flight that it continues', () => {
    using((logbook) => logbook.enter([madeFlight(1, 5)]));
    const { entered, updated } = using((logbook) => logbook.enter([madeFlight(1, 8)]));
    expect([entered, updated]).toEqual([3, 5]);
    expect(using((logbook) => logbook.flights())).toMatchObject([{ id: 1, clips: 6, stills: 2 }]);
  });

  it('puts a whole recording in the place of one that was cut off in the copy, of that card only', () => {
    const part = { ...madeRecording(1, 4), fingerprint: 'cut off', iso: 800 };
    const interrupted = { ...madeFlight(1, 0), recordings: [...madeFlight(1, 4).recordings, part] };
    using((logbook) => logbook.enter([interrupted]));
    const { entered, updated } = using((logbook) => logbook.enter([madeFlight(1, 5)]));
    expect([entered, updated]).toEqual([0, 5]);
    expect(using((logbook) => logbook.flight(1))).toEqual(madeFlight(1, 5));
    // The same name, time and camera on another card: a clock that was never set.
    const { entered: others } = using((logbook) => logbook.enter([madeFlight(2, 5)]));
    expect(others).toBe(5);
  });

  it('spans the earliest and latest moment, whatever zones those are written in', () => {
    const local = {
      ...madeFlight(1, 2),
      startedAt: '2026-01-14T17:40:00-08:00',
      endedAt: '2026-01-14T18:00:00-08:00',
    };
    const inUtc = { ...madeFlight(1, 3), startedAt: '2026-01-15T01:50:00Z', endedAt: '2026-01-15T02:10:00Z' };
    using((logbook) => [local, inUtc].map((flight) => logbook.enter([flight])));
    expect(using((logbook) => logbook.flight(1))).toMatchObject({
      startedAt: local.startedAt,
      endedAt: inUtc.endedAt,
    });
  });

  it('brings up to date what a later audit knows better, and keeps what it does not know', () => {
    const { fitted: _, ...unnoted } = madeRecording(1, 0);
    const first = { ...madeFlight(1, 0), recordings: [unnoted] };
    const noted = { ...first, recordings: [madeRecording(1, 0)] };
    const { sky: _sky, place: _place, ...without } = first;
    using((logbook) => [first, noted, without].map((flight) => logbook.enter([flight])));
    const flight = using((logbook) => logbook.flight(1))!;
    expect(flight).toMatchObject({ sky: 'haze', place: 'Long Shoal' });
    expect(flight.recordings[0]!.fitted).toEqual({ label: 'ND16', labelStops: 4 });
  });

  it('takes a filter back that a later audit doubts, until the notes are right', () => {
    const { fitted: _, neededStops: _needed, pickLabel: _pick, ...unfitted } = madeRecording(1, 0);
    const withFindings = (weight: string) => ({
      ...madeFlight(1, 0),
      recordings: [{ ...unfitted, detail: { findings: [{ kind: 'filter-contradicted', weight }] } }],
    });
    const noted = { ...madeFlight(1, 0), recordings: [madeRecording(1, 0)] };
    const recordingAfter = (...flights: Parameters<Logbook['enter']>[0]) =>
      using((logbook) => {
        for (const flight of flights) logbook.enter([flight]);
        return logbook.flight(1)!.recordings[0]!;
      });
    expect(recordingAfter(noted, withFindings('low')).fitted?.label).toBe('ND16');
    const doubted = recordingAfter(withFindings('medium'));
    expect([doubted.fitted, doubted.neededStops, doubted.pickLabel]).toEqual([
      undefined,
      undefined,
      undefined,
    ]);
    expect(doubted.sensorEv100).toBe(unfitted.sensorEv100);
    expect(using((logbook) => logbook.observations()).map(({ fitted }) => fitted)).toEqual([undefined]);
    expect(recordingAfter(noted).fitted?.label).toBe('ND16');
  });

  it('puts a filter right that an earlier audit was told wrongly, and says of how many recordings', () => {
    const card = madeFlight(1, 3);
    const { fitted: _, neededStops: _needed, pickLabel: _pick, ...unfitted } = madeRecording(1, 2);
    const mistyped = card.recordings.map((one) => ({ ...one, fitted: { label: 'ND64', labelStops: 6 } }));
    // The notes name a filter for two of the three, and measuring was left off.
    const { neededStops: _left, ...unmeasured } = madeRecording(1, 1);
    const corrected = { ...card, recordings: [madeRecording(1, 0), unmeasured, unfitted] };
    const results = using((logbook) => [
      logbook.enter([{ ...card, recordings: mistyped }], { saysFilters: true }),
      logbook.enter([corrected], { saysFilters: true }),
      logbook.enter([corrected], { saysFilters: true }),
      logbook.enter([{ ...card, recordings: [unfitted] }]),
    ]);
    expect(results.map((one) => one.corrected)).toEqual([0, 3, 0, 0]);
    expect(results.map((one) => one.withFilter)).toEqual([3, 2, 2, 0]);
    const [first, second, third] = using((logbook) => logbook.flight(1))!.recordings;
    expect([first!.fitted?.label, first!.neededStops]).toEqual(['ND16', 4.06]);
    // What was concluded from six stops does not stand beside four.
    expect([second!.fitted?.label, second!.neededStops]).toEqual(['ND16', undefined]);
    expect([third!.fitted, third!.neededStops, third!.pickLabel]).toEqual([undefined, undefined, undefined]);
  });

  it('keeps a filter that a later audit says nothing of', () => {
    const { fitted: _, neededStops: _needed, ...unfitted } = madeRecording(1, 0);
    const unnoted = { ...madeFlight(1, 0), recordings: [unfitted] };
    using((logbook) => [logbook.enter([madeFlight(1, 1)]), logbook.enter([unnoted])]);
    expect(using((logbook) => logbook.flight(1))!.recordings[0]).toMatchObject({
      fitted: { label: 'ND16' },
      neededStops: 4.06,
    });
  });

  it('of two files of one content, takes the filter that was said of either', () => {
    const { fitted: _, ...unfitted } = madeRecording(1, 0);
    const twice = { ...madeFlight(1, 0), recordings: [madeRecording(1, 0), unfitted] };
    using((logbook) => logbook.enter([twice], { saysFilters: true }));
    expect(using((logbook) => logbook.flight(1))!.recordings[0]!.fitted?.label).toBe('ND16');
  });

  it('counts two files of one content in a card as one recording, also when they are known', () => {
    const twice = { ...madeFlight(1, 0), recordings: [madeRecording(1, 0), madeRecording(1, 0)] };
    expect(using((logbook) => [logbook.enter([twice]), logbook.enter([twice])])).toEqual([
      { flights: 1, ids: [1], entered: 1, updated: 0, corrected: 0, withFilter: 1 },
      { flights: 1, ids: [1], entered: 0, updated: 1, corrected: 0, withFilter: 1 },
    ]);
  });

  it('enters all flights of a card or none', () => {
    const bad = { ...madeFlight(2, 1), sky: 'purple' } as unknown as ReturnType<typeof madeFlight>;
    expect(() => using((logbook) => logbook.enter([madeFlight(1, 3), bad]))).toThrow(HalfturnError);
    expect(using((logbook) => logbook.flights())).toEqual([]);
  });

  it('gives learning what it needs, and the last ones where only so many are wanted', () => {
    using((logbook) => logbook.enter([madeFlight(1, 3), madeFlight(2, 3)]));
    const all = using((logbook) => logbook.observations());
    expect(all).toHaveLength(6);
    expect(all[0]).toMatchObject({
      flightId: 1,
      place: 'Long Shoal',
      sky: 'haze',
      inWindow: true,
      sensorEv100: 8.6,
      fitted: { label: 'ND16', labelStops: 4 },
      headingDegrees: 120,
    });
    expect(using((logbook) => logbook.observations(2)).map(({ flightId }) => flightId)).toEqual([2, 2]);
  });

  it('knows what is mostly flown with, and where places lie', () => {
    using((logbook) => logbook.enter([madeFlight(1, 3)]));
    const habits = { camera: 'Aeroform A1', fNumber: 2.8, framesPerSecond: [24000 / 1001] };
    expect(using((logbook) => logbook.habits())).toEqual(habits);
    const places = [{ place: 'Long Shoal', latitude: -47.2, longitude: -126.7 }];
    expect(using((logbook) => logbook.places())).toEqual(places);
  });
});

describe('remove()', () => {
  it('takes a flight out with all that belongs to it', () => {
    using((logbook) => logbook.enter([madeFlight(1, 3), madeFlight(2, 3)]));
    expect(using((logbook) => [logbook.remove(1), logbook.remove(1)])).toEqual([true, false]);
    const database = openDatabase(file);
    const left = ['recordings', 'details', 'notes'].map((table) =>
      database.prepare(`SELECT count(*) FROM ${table}`).pluck().get(),
    );
    database.close();
    expect(left).toEqual([3, 3, 1]);
    expect(using((logbook) => logbook.enter([madeFlight(1, 3)])).entered).toBe(3);
  });
});

describe('openLogbook()', () => {
  const complaint = (create = true) => {
    try {
      openLogbook(file, { create, waitMs: 50 }).close();
    } catch (error) {
      expect(error).toBeInstanceOf(HalfturnError);
      return (error as HalfturnError).message;
    }
    return 'it opened';
  };
  const made = () => using((logbook) => logbook.enter([madeFlight(1, 3)]));
  const put = (bytes: string | Uint8Array) => {
    mkdirSync(path.dirname(file), { recursive: true });
    writeFileSync(file, bytes);
  };

  it('says that there is none where none is to be made', () => {
    expect(complaint(false)).toMatch(/There is no logbook at/);
  });

  it.each([
    [
      'text',
      'these are notes, not a database, and they are longer than a header of a hundred bytes would be '.repeat(
        3,
      ),
    ],
    ['one letter', 'x'],
    ['noise', new Uint8Array(4096).map((_, at) => (at * 73) % 251)],
  ])('refuses a file of %s and leaves it as it is', (_, bytes) => {
    put(bytes);
    const before = readFileSync(file);
    expect(complaint()).toMatch(/is no logbook/);
    expect(readFileSync(file)).toEqual(before);
  });

  it('refuses the database of another program and leaves it as it is', () => {
    put('');
    const database = openDatabase(file);
    database.exec('CREATE TABLE birds (name TEXT)');
    database.close();
    const before = readFileSync(file);
    expect(complaint()).toMatch(/database of another program/);
    expect(readFileSync(file)).toEqual(before);
  });

  it('refuses a newer schema and leaves it as it is', () => {
    fromFixture(migrations.length, 'PRAGMA user_version = 99');
    const before = readFileSync(file);
    expect(complaint()).toMatch(/written by a later version of Halfturn \(schema 99; this one knows \d+\)/);
    expect(readFileSync(file)).toEqual(before);
  });

  it('says that a damaged one is damaged', () => {
    using((logbook) => logbook.enter(Array.from({ length: 20 }, (_, at) => madeFlight(at, 20))));
    const bytes = readFileSync(file);
    bytes.fill(0x5a, 4096, bytes.length);
    writeFileSync(file, bytes);
    expect(() => using((logbook) => logbook.observations())).toThrow(/is damaged/);
    expect(readFileSync(file)).toEqual(bytes);
  });

  it('says that one is in use where waiting does not help', () => {
    made();
    const other = openDatabase(file);
    other.exec('BEGIN IMMEDIATE');
    const logbook = openLogbook(file, { create: false, waitMs: 50 });
    expect(() => logbook.enter([madeFlight(2, 1)])).toThrow(/being written by another program/);
    other.exec('ROLLBACK');
    other.close();
    expect(logbook.enter([madeFlight(2, 1)]).entered).toBe(1);
    logbook.close();
  });

  it('takes an empty file for a new logbook, and a folder for none', () => {
    put('');
    expect(made().entered).toBe(3);
    file = folder;
    expect(complaint()).toMatch(/is no file/);
  });
});

describe('undo()', () => {
  it('takes back what was entered, and puts back what that replaced', () => {
    using((logbook) => logbook.enter([madeFlight(1, 3)]));
    const before = using((logbook) => logbook.flight(1));
    const other = { ...madeFlight(1, 3), place: 'Elsewhere' };
    using((logbook) => logbook.enter([other, madeFlight(2, 3)]));
    expect(using((logbook) => logbook.flight(1)!.place)).toBe('Elsewhere');
    expect(using((logbook) => logbook.undo())).toBe('entering 2 flights');
    expect(using((logbook) => logbook.flights())).toHaveLength(1);
    expect(using((logbook) => logbook.flight(1))).toEqual(before);
    expect(using((logbook) => logbook.undo())).toBeUndefined();
  });

  it('brings a removed flight back whole, under its number', () => {
    using((logbook) => logbook.enter([madeFlight(1, 3), madeFlight(2, 2)]));
    const before = using((logbook) => logbook.flight(2));
    using((logbook) => logbook.remove(2));
    expect(using((logbook) => logbook.undo())).toBe('removing flight 2');
    expect(using((logbook) => logbook.flight(2))).toEqual(before);
  });
});

describe('correct()', () => {
  it('says what was fitted for the files that are meant; what was needed moves with it', () => {
    using((logbook) => logbook.enter([madeFlight(1, 4)]));
    const corrected = using((logbook) =>
      logbook.correct(1, {
        fitted: { label: 'ND64', labelStops: 6 },
        isMeant: (name) => name.includes('CLIP0001'),
      }),
    );
    expect(corrected).toBe(1);
    const { recordings } = using((logbook) => logbook.flight(1))!;
    expect(recordings.map(({ fitted }) => fitted?.label)).toEqual(['ND16', 'ND64', 'ND16', 'ND16']);
    // Needed is what was on and what was left: 4.06 with four stops is 6.06 with six.
    expect(recordings[1]!.neededStops).toBeCloseTo(6.06, 6);
    expect(recordings[1]!.pickLabel).toBeUndefined();
    using((logbook) => logbook.undo());
    expect(using((logbook) => logbook.flight(1))!.recordings[1]!.fitted?.label).toBe('ND16');
  });

  it('takes a filter back that is not known after all, and what rested on it', () => {
    using((logbook) => logbook.enter([madeFlight(1, 1)]));
    using((logbook) => logbook.correct(1, { isMeant: () => true }));
    const [recording] = using((logbook) => logbook.flight(1))!.recordings;
    expect([recording!.fitted, recording!.neededStops]).toEqual([undefined, undefined]);
  });
});

describe('a logbook on a disk that takes nothing', () => {
  it('is read with what stands in its journal, and without one', () => {
    const writing = openLogbook(file, { create: true });
    writing.enter([madeFlight(1, 3)]);
    expect(statSync(`${file}-wal`).size).toBeGreaterThan(0);
    const apart = path.join(folder, 'apart.sqlite');
    copyFileSync(file, apart);
    copyFileSync(`${file}-wal`, `${apart}-wal`);
    writing.close();
    for (const each of [file, apart]) {
      const { database, discard } = connectedForReading(each);
      expect(database.prepare('SELECT count(*) FROM recordings').pluck().get()).toBe(3);
      database.close();
      discard();
    }
  });

  // Reading makes a copy where there is a journal, and the disk for that may be full.
  it.skipIf(!existsSync('/dev/full'))('is said to have no room for its copy', () => {
    const copied = () => guarded(file, () => writeFileSync('/dev/full', 'a copy'));
    expect(copied).toThrow(/could not be written: ENOSPC/);
  });
});

describe.skipIf(process.platform === 'win32')('privacy', () => {
  const modeOf = (entry: string) => (statSync(entry).mode & 0o777).toString(8);

  it('keeps the logbook, its journal and its own folder from others', () => {
    const own = path.join(folder, 'own');
    file = path.join(own, 'logbook.sqlite');
    const logbook = openLogbook(file, { create: true, isOwnFolder: true });
    logbook.enter([madeFlight(1, 1)]);
    expect([own, file, `${file}-wal`].map(modeOf)).toEqual(['700', '600', '600']);
    logbook.close();
    chmodSync(own, 0o755);
    chmodSync(file, 0o644);
    openLogbook(file, { create: false, isOwnFolder: true }).close();
    expect([own, file].map(modeOf)).toEqual(['700', '600']);
  });

  it('leaves a folder that holds other things as it is', () => {
    chmodSync(folder, 0o755);
    openLogbook(file, { create: true }).close();
    expect(modeOf(folder)).toBe('755');
  });
});

describe('migrations', () => {
  test.each(migrations.map((_, index) => index + 1))(
    'opens a logbook of schema %d with all that is in it',
    (version) => {
      fromFixture(version);
      expect(using((logbook) => logbook.flights())).toMatchObject([
        { id: 1, dump: 'card-014', place: 'Long Shoal', sky: 'haze', clips: 1, stills: 1, filters: ['ND16'] },
      ]);
      const flight = using((logbook) => logbook.flight(1))!;
      expect(flight.notes).toMatch(/Long Shoal/);
      expect(flight.recordings.map(({ path: name }) => name)).toEqual(['CLIP0001.MP4', 'AERO0001.JPG']);
    },
  );

  it('run in order from the schema of the file, once, and all or none', () => {
    fromFixture(1);
    const next = [
      ...migrations,
      (database: { exec(text: string): unknown }) =>
        void database.exec('ALTER TABLE flights ADD COLUMN wind TEXT'),
    ];
    openLogbook(file, { create: false, migrations: next }).close();
    openLogbook(file, { create: false, migrations: next }).close();
    const database = openDatabase(file);
    expect(database.pragma('user_version', { simple: true })).toBe(migrations.length + 1);
    database.close();
    const failing = [
      ...next,
      () => {
        throw new HalfturnError('stop');
      },
    ];
    expect(() => openLogbook(file, { create: false, migrations: failing })).toThrow('stop');
    openLogbook(file, { create: false, migrations: next }).close();
  });
});
