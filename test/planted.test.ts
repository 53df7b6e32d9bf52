import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { buildPlantedCard, type PlantedTruth } from '../sample-media-generator/planted/build.ts';
import { audit } from '../src/audit/audit.ts';
import type { AuditDocument } from '../src/document/auditDocument.ts';
import { oppositesIn, oppositesInGroup } from './opposites.ts';

// Faults on purpose, one in each recording, bracket or series, against everything that the audit says: remarks count
// as well as flags. What was planted is known without any code of ours.

let folder = '';
let truth: PlantedTruth;
let document: AuditDocument;

beforeAll(async () => {
  folder = mkdtempSync(path.join(tmpdir(), 'halfturn-planted-'));
  truth = await buildPlantedCard(folder);
  document = await audit(path.join(folder, 'card'), { generatedAt: '2026-06-02T18:00:00Z' });
});

afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Place and kind of everything planted, or found, as texts that can be held against each other. */
function planted(): readonly string[] {
  const places = [
    ...truth.recordings.map((one) => ({ place: one.path, kinds: one.planted })),
    ...truth.sequences.map((one) => ({ place: `${one.kind} ${one.paths.join(' ')}`, kinds: one.planted })),
  ];
  return places.flatMap(({ place, kinds }) => kinds.map((kind) => `${kind} in ${place}`));
}

function found(): readonly string[] {
  const places = [
    ...document.recordings.map((one) => ({ place: one.path, findings: one.findings })),
    ...document.sequences.map((one) => ({
      place: `${one.kind} ${one.paths.join(' ')}`,
      findings: one.findings,
    })),
  ];
  return places.flatMap(({ place, findings }) => findings.map(({ kind }) => `${kind} in ${place}`));
}

const kindOf = (entry: string) => entry.slice(0, entry.indexOf(' '));

describe('the planted card', () => {
  it('has at least 40 recordings, and every one is read', () => {
    expect(truth.recordings.length).toBeGreaterThanOrEqual(40);
    expect(document.recordings.map((one) => one.path).toSorted()).toEqual(
      truth.recordings.map((one) => one.path).toSorted(),
    );
    expect(document.problems).toEqual([]);
  });

  it('groups every bracket and series, and nothing else', () => {
    const groups = (sequences: readonly { readonly kind: string; readonly paths: readonly string[] }[]) =>
      sequences.map(({ kind, paths }) => `${kind} ${paths.join(' ')}`).toSorted();
    expect(groups(document.sequences)).toEqual(groups(truth.sequences));
  });

  it('is found out whole: precision and recall are 1', () => {
    const [expected, actual] = [planted(), found()];
    const hits = actual.filter((entry) => expected.includes(entry));
    const kinds = [...new Set([...expected, ...actual].map(kindOf))].toSorted();
    const count = (entries: readonly string[], kind: string) =>
      entries.filter((entry) => kindOf(entry) === kind).length;
    const rows = kinds.map((kind) => ({
      kind,
      planted: count(expected, kind),
      found: count(hits, kind),
      invented: count(actual, kind) - count(hits, kind),
    }));
    const clean = truth.recordings.length - new Set(expected.map((entry) => entry.split(' in ')[1])).size;
    console.table(rows);
    console.log(
      `${truth.recordings.length} recordings, ${truth.sequences.length} brackets and series; ` +
        `precision ${hits.length / actual.length}, recall ${hits.length / expected.length}`,
    );
    expect(clean).toBeGreaterThan(20);
    expect(kinds.length).toBeGreaterThanOrEqual(25);
    expect(actual.filter((entry) => !expected.includes(entry))).toEqual([]);
    expect(expected.filter((entry) => !actual.includes(entry))).toEqual([]);
  });

  it('never asks for opposite things of a recording, or of a group', () => {
    expect(document.recordings.flatMap(oppositesIn)).toEqual([]);
    expect(document.sequences.flatMap(oppositesInGroup)).toEqual([]);
  });

  it('judges a still by itself as in its group, where it knows the group', async () => {
    const groups = ['bracket', 'interval', 'mapping'].map((kind) =>
      document.sequences.find((each) => each.kind === kind && each.findings.length > 0)!,
    );
    for (const { kind, paths } of groups) {
      const last = paths.at(-1)!;
      const alone = await audit(path.join(folder, 'card', last), { memberOf: kind });
      const among = document.recordings.find((each) => each.path === last)!;
      expect(alone.recordings[0]!.findings).toEqual(among.findings);
      expect(alone.recordings[0]!.filter).toEqual(among.filter);
    }
  });

  it('says for every flag what to do in the edit or next time', () => {
    const flags = [...document.recordings, ...document.sequences].flatMap(({ findings }) =>
      findings.filter(({ weight, kind }) => weight !== 'low' && kind !== 'sources-disagree'),
    );
    expect(flags.length).toBeGreaterThan(20);
    expect(
      flags.filter(({ inTheEdit, nextTime }) => inTheEdit === undefined && nextTime === undefined),
    ).toEqual([]);
  });
});
