import { expect, test } from 'vitest';
import { auditDocumentSchema, auditJsonSchema } from '../../src/document/auditDocument.ts';
import { jsonReport } from '../../src/report/json.ts';
import { exampleDocument } from '../report/exampleDocument.ts';
import { wholeText } from '../report/wholeText.ts';

test('the schema accepts the example as it is read back', () => {
  expect(auditDocumentSchema.parse(JSON.parse(wholeText(jsonReport(exampleDocument))))).toEqual(
    exampleDocument,
  );
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
