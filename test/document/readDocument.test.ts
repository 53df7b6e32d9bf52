import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { reportFiles } from '../../src/report/index.ts';
import { jsonReport } from '../../src/report/json.ts';
import { readAuditDocument } from '../../src/document/readDocument.ts';
import { exampleDocument } from '../report/exampleDocument.ts';
import { wholeText } from '../report/wholeText.ts';

// Every version that was ever written stays here, as it was written. audit-1.json: formatVersion 1 before the frames
// over time were added.
const fixtures = new URL('./fixtures/', import.meta.url);

describe('readAuditDocument()', () => {
  it.each(readdirSync(fixtures))('%s can still be rendered', (name) => {
    const document = readAuditDocument(readFileSync(new URL(name, fixtures), 'utf8'), name);
    const files = Object.fromEntries(
      [...reportFiles(document)].map(([name, text]) => [name, wholeText(text)]),
    );
    expect(Object.keys(files)).toContain('report.html');
    expect(files['report.html']).toContain('CLIP0002.MP4');
    expect(JSON.parse(files['timeline.otio']!).tracks.children[0].children).not.toEqual([]);
    for (const text of Object.values(files)) expect(text).not.toMatch(/undefined|NaN|\[object/);
  });

  it('reads back what is written now', () => {
    expect(readAuditDocument(wholeText(jsonReport(exampleDocument)), 'audit.json')).toEqual(exampleDocument);
  });

  const written = JSON.parse(wholeText(jsonReport(exampleDocument)));
  it.each([
    ['not JSON', '{"format": ', /is not JSON/],
    ['something else', '{"format": "other"}', /not an audit document/],
    ['a list', '[]', /not an audit document/],
    ['a later version', JSON.stringify({ ...written, formatVersion: 99 }), /format version 99.*up to 1/],
    [
      'a wrong number',
      JSON.stringify({ ...written, settings: { ...written.settings, shutterAngleDegrees: 'half' } }),
      /settings\.shutterAngleDegrees/,
    ],
    ['a missing part', JSON.stringify({ ...written, recordings: undefined }), /recordings/],
  ])('refuses %s with a sentence', (_, text, message) => {
    expect(() => readAuditDocument(text, 'audit.json')).toThrow(message);
    expect(() => readAuditDocument(text, 'audit.json')).toThrow(
      expect.objectContaining({ name: 'HalfturnError' }),
    );
  });
});
