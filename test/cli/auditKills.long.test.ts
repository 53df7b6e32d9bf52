import { execFile, spawn } from 'node:child_process';
import { appendFileSync, cpSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { openDatabase } from '../logbook/openDatabase.ts';
import { sampleCard } from '../sampleCard.ts';

const kills = 50;
const program = path.resolve(import.meta.dirname, '../../bin/halfturn.js');
let scratch: string;
let logbook: string;

beforeAll(() => {
  scratch = mkdtempSync(path.join(tmpdir(), 'halfturn-kills-'));
  logbook = path.join(scratch, 'logbook.sqlite');
});

afterAll(() => rmSync(scratch, { recursive: true, force: true }));

/** A card with one still that no other card has. */
function card(number: number): string {
  const folder = path.join(scratch, `card-${number}`);
  mkdirSync(folder);
  const still = path.join(folder, 'AERO0001.JPG');
  cpSync(path.join(sampleCard, 'DCIM', '101_AERO', 'AERO0012.JPG'), still);
  appendFileSync(still, `card ${number}`);
  return folder;
}

const auditArguments = (dump: string) => [
  program,
  'audit',
  dump,
  '--measure',
  'off',
  '--quiet',
  '--no-cache',
  '--logbook',
  logbook,
];
const environment = () => ({ PATH: process.env['PATH'] ?? '', HOME: scratch });

function wholeAudit(dump: string): Promise<void> {
  return new Promise((resolve, reject) => {
    execFile(process.execPath, auditArguments(dump), { env: environment() }, (error) =>
      error === null ? resolve() : reject(error),
    );
  });
}

function killedAudit(dump: string, afterMs: number): Promise<void> {
  return new Promise((resolve) => {
    const child = spawn(process.execPath, auditArguments(dump), { env: environment(), stdio: 'ignore' });
    const timer = setTimeout(() => child.kill('SIGKILL'), afterMs);
    child.on('close', () => {
      clearTimeout(timer);
      resolve();
    });
  });
}

interface Entered {
  readonly flights: number;
  readonly recordings: number;
  readonly halfFlights: number;
}

function entered(): Entered {
  const database = openDatabase(logbook, { readOnly: true });
  try {
    expect(database.pragma('integrity_check', { simple: true })).toBe('ok');
    return database
      .prepare(
        `SELECT (SELECT count(*) FROM flights) AS flights, (SELECT count(*) FROM recordings) AS recordings,
           (SELECT count(*) FROM flights WHERE id NOT IN (SELECT flightId FROM recordings)) AS halfFlights`,
      )
      .get() as Entered;
  } finally {
    database.close();
  }
}

it('an audit that is killed at any instant leaves a whole logbook: no flight half entered, none lost', async () => {
  const startedMs = performance.now();
  await wholeAudit(card(0));
  const wholeMs = performance.now() - startedMs;
  let known = entered();
  expect(known).toEqual({ flights: 1, recordings: 1, halfFlights: 0 });
  for (let kill = 1; kill <= kills; kill++) {
    // Steps of the golden section spread over the audit without a pattern, most of them where it writes: near the end.
    const share = (kill * 0.6180339887) % 1;
    await killedAudit(card(kill), wholeMs * (0.5 + 0.6 * share));
    const now = entered();
    expect(now.halfFlights).toBe(0);
    expect(now.recordings).toBe(now.flights);
    expect([known.flights, known.flights + 1]).toContain(now.flights);
    known = now;
  }
  // Both kinds must have come up, or the kills proved nothing.
  expect(known.flights).toBeGreaterThan(1);
  expect(known.flights).toBeLessThan(kills + 1);
  await wholeAudit(path.join(scratch, 'card-0'));
  expect(entered().flights).toBe(known.flights);
});
