import { spawn, type ChildProcessWithoutNullStreams } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openLogbook } from '../../src/logbook/store.ts';
import { everything } from '../everything.ts';
import { openDatabase } from './openDatabase.ts';

const script = path.join(import.meta.dirname, 'enterFlights.ts');
const recordingsPerFlight = 40;
/** Of two kills each, at random moments. */
const rounds = everything ? 30 : 3;
const manyFlights = everything ? 60 : 15;
let folder: string;

beforeAll(() => void (folder = mkdtempSync(path.join(tmpdir(), 'halfturn-kill-'))));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

interface Ended {
  readonly committed: readonly number[];
  readonly signal: NodeJS.Signals | null;
  readonly stderr: string;
}

/** Runs the writer; kills it so many milliseconds after its first flight. */
function write(file: string, first: number, count: number, killAfterMs?: number): Promise<Ended> {
  return ended(spawn(process.execPath, writing(file, first, count)), killAfterMs);
}

function writing(file: string, first: number, count: number, ...fatal: readonly number[]): readonly string[] {
  return ['--import', 'tsx', script, file, ...[first, count, recordingsPerFlight, ...fatal].map(String)];
}

function ended(child: ChildProcessWithoutNullStreams, killAfterMs?: number): Promise<Ended> {
  return new Promise((resolve) => {
    let [stdout, stderr] = ['', ''];
    let waiting = killAfterMs !== undefined;
    child.stdout.on('data', (data: Buffer) => {
      stdout += data.toString();
      if (!waiting) return;
      waiting = false;
      setTimeout(() => child.kill('SIGKILL'), killAfterMs);
    });
    child.stderr.on('data', (data: Buffer) => (stderr += data.toString()));
    child.on('close', (_, signal) =>
      resolve({ committed: stdout.split('\n').filter(Boolean).map(Number), signal, stderr }),
    );
  });
}

function checked(file: string): readonly number[] {
  const database = openDatabase(file);
  expect(database.pragma('integrity_check', { simple: true })).toBe('ok');
  expect(database.pragma('foreign_key_check')).toEqual([]);
  const counts = database
    .prepare(
      `SELECT dump, count(recordings.id) AS whole, count(details.recordingId) AS detailed, count(notes.text) AS noted
       FROM flights LEFT JOIN recordings ON recordings.flightId = flights.id
       LEFT JOIN details ON details.recordingId = recordings.id
       LEFT JOIN notes ON notes.flightId = flights.id GROUP BY flights.id`,
    )
    .all() as { dump: string; whole: number; detailed: number; noted: number }[];
  database.close();
  for (const { whole, detailed, noted } of counts)
    expect([whole, detailed, noted]).toEqual([recordingsPerFlight, recordingsPerFlight, recordingsPerFlight]);
  return counts.map(({ dump }) => Number(dump.slice('card-'.length)));
}

describe('a process that is killed while it enters flights', () => {
  it('leaves every committed flight and no half one, whichever recording it was at', async () => {
    const file = path.join(folder, 'half.sqlite');
    const committed: number[] = [];
    for (const [round, fatal] of [0, 1, 20, recordingsPerFlight - 1].entries()) {
      const died = await ended(spawn(process.execPath, writing(file, 10 * round, 3, fatal)));
      expect(died.signal, died.stderr).toBe('SIGKILL');
      expect(died.committed).toEqual([10 * round, 10 * round + 1]);
      committed.push(...died.committed);
      expect(checked(file)).toEqual(committed);
    }
  });

  it(`leaves every committed flight and no half one, ${2 * rounds} times in a row on one logbook`, async () => {
    const file = path.join(folder, 'killed.sqlite');
    const committed: number[] = [];
    // Two at a time, so that a kill also falls while the other one waits or writes.
    for (let round = 0; round < rounds; round++) {
      const pair = [0, 1].map((one) => write(file, (round * 2 + one) * 100_000, 100_000, Math.random() * 60));
      for (const ended of await Promise.all(pair)) {
        expect(ended.signal, ended.stderr).toBe('SIGKILL');
        committed.push(...ended.committed);
      }
      if (round % 5 !== 4 && round < rounds - 1) continue;
      const entered = new Set(checked(file));
      expect(committed.filter((number) => !entered.has(number))).toEqual([]);
    }
    expect(committed.length).toBeGreaterThanOrEqual(2 * rounds);
    const logbook = openLogbook(file, { create: false });
    expect(logbook.flights().length).toBeGreaterThanOrEqual(committed.length);
    logbook.close();
  }, 120_000);
});

describe('two processes at once', () => {
  it('both enter all their flights, at a logbook that neither found', async () => {
    const file = path.join(folder, 'shared.sqlite');
    const ended = await Promise.all([write(file, 0, manyFlights), write(file, 1000, manyFlights)]);
    for (const { stderr, committed } of ended) {
      expect(stderr).toBe('');
      expect(committed).toHaveLength(manyFlights);
    }
    expect(checked(file)).toHaveLength(2 * manyFlights);
  }, 60_000);

  it('enter the same card once', async () => {
    const file = path.join(folder, 'same.sqlite');
    await Promise.all([write(file, 0, 20), write(file, 0, 20)]);
    expect(checked(file)).toHaveLength(20);
  }, 60_000);
});

// Windows has no such limit.
describe.skipIf(process.platform === 'win32')('a file that may not grow any more, as on a full disk', () => {
  it('keeps what was entered before, and says that the disk may have no room', async () => {
    const file = path.join(folder, 'full.sqlite');
    // In blocks of 512 or 1024 bytes, by the shell. A write beyond it fails, where its signal is ignored.
    const limited = 'trap "" XFSZ; ulimit -f 1500; exec "$@"';
    const command = ['-c', limited, 'sh', process.execPath, ...writing(file, 0, 1000)];
    const { committed, stderr } = await ended(spawn('sh', command));
    expect(stderr).toMatch(/could not be written: (?:disk I\/O error|database or disk is full)/);
    expect(committed.length).toBeGreaterThan(0);
    expect(checked(file)).toEqual(committed);
    expect((await write(file, 2000, 1)).committed).toEqual([2000]);
    expect(checked(file)).toEqual([...committed, 2000]);
  }, 60_000);
});
