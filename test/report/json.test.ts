import { expect, test } from 'vitest';
import { jsonReport } from '../../src/report/files/jsonReport.ts';
import { auditDocumentSchema, auditJsonSchema } from '../../src/report/schema.ts';
import { exampleDocument } from './exampleDocument.ts';

test('jsonReport() parses back to the document and ends with a line end', () => {
  const text = jsonReport(exampleDocument);
  expect(JSON.parse(text)).toEqual(exampleDocument);
  expect(text.endsWith('}\n')).toBe(true);
});

test.each([Number.NaN, Infinity, -Infinity])('jsonReport() refuses %d and names where it is', (number) => {
  const [first] = exampleDocument.recordings;
  if (first === undefined) throw new Error('the example is empty');
  const broken = { ...exampleDocument, recordings: [{ ...first, exposure: { ev100: number } }] };
  expect(() => jsonReport(broken)).toThrow(/"ev100"/);
});

test('the schema accepts the example as it is read back', () => {
  expect(auditDocumentSchema.parse(JSON.parse(jsonReport(exampleDocument)))).toEqual(exampleDocument);
});

test('the schema refuses a wrong unit, a wrong word and a missing part', () => {
  const { dump: _, ...withoutDump } = exampleDocument;
  const settings = { ...exampleDocument.settings, shutterAngleDegrees: 361 };
  expect(auditDocumentSchema.safeParse(withoutDump).success).toBe(false);
  expect(auditDocumentSchema.safeParse({ ...exampleDocument, settings }).success).toBe(false);
  expect(auditDocumentSchema.safeParse({ ...exampleDocument, format: 'other' }).success).toBe(false);
});

test('a later field does not make a document unreadable', () => {
  expect(auditDocumentSchema.safeParse({ ...exampleDocument, later: 1 }).success).toBe(true);
  expect(JSON.stringify(auditJsonSchema())).not.toContain('"additionalProperties":false');
});

test('auditJsonSchema() names its dialect and what must be there', () => {
  expect(auditJsonSchema()).toMatchObject({
    $schema: 'https://json-schema.org/draft/2020-12/schema',
    required: expect.arrayContaining(['format', 'formatVersion', 'recordings', 'problems']),
  });
});
