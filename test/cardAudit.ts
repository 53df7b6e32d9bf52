import { execFile } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import type { AuditDocument } from '../src/document/auditDocument.ts';
import { sampleCard, sampleSettings } from './sampleCard.ts';

export interface Ran {
  readonly stdout: string;
  readonly stderr: string;
  readonly status: number;
}

export interface CardAudit {
  /** Of `halfturn audit card --settings settings.toml`. */
  readonly ran: Ran;
  readonly document: AuditDocument;
}

const program = path.resolve(import.meta.dirname, '../bin/halfturn.js');
/** Of this run of the tests, made and removed by globalSetup.ts; without it this process has one of its own. */
const folder = process.env['HALFTURN_TEST_RUN'] ?? mkdtempSync(path.join(tmpdir(), 'halfturn-run-'));

/** The audit of the whole sample card by the built program: whoever asks first starts it, all others wait for it. */
export async function cardAudit(): Promise<CardAudit> {
  const result = path.join(folder, 'cardAudit.json');
  if (isFirst()) {
    const ran = await audit();
    // Measured a moment ago, so nothing is measured again.
    const { stdout } = await audit('--json', '--no-logbook');
    writeFileSync(`${result}.part`, JSON.stringify({ ran, json: stdout }));
    renameSync(`${result}.part`, result);
  }
  while (!existsSync(result)) await wait(100);
  const { ran, json } = JSON.parse(readFileSync(result, 'utf8')) as {
    readonly ran: Ran;
    readonly json: string;
  };
  return { ran, document: JSON.parse(json) as AuditDocument };
}

function isFirst(): boolean {
  try {
    mkdirSync(path.join(folder, 'home'));
    return true;
  } catch {
    return false;
  }
}

function audit(...more: readonly string[]): Promise<Ran> {
  const words = [program, 'audit', sampleCard, '--settings', sampleSettings, ...more];
  // A home of its own: nobody's settings may change what it says.
  const env = { PATH: process.env['PATH'] ?? '', HOME: path.join(folder, 'home'), NO_COLOR: '1', TZ: 'UTC' };
  return new Promise((resolve) => {
    execFile(process.execPath, words, { env, maxBuffer: 1 << 26 }, (error, stdout, stderr) =>
      resolve({ stdout, stderr, status: error === null ? 0 : Number(error.code) }),
    );
  });
}
