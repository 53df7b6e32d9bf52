import { expect, test } from 'vitest';
import { auditDocumentSchema, auditJsonSchema } from '../../src/document/auditDocument.ts';
import { jsonReport } from '../../src/report/files/jsonReport.ts';
import { exampleDocument } from '../report/exampleDocument.ts';

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

test('auditJsonSchema() says of a field what its name cannot', () => {
  const schema = auditJsonSchema() as { properties: Record<string, { properties?: object; items?: object }> };
  expect(schema.properties['settings']).toMatchObject({
    properties: { kitAssumed: { description: expect.stringContaining('common strengths') } },
  });
  expect(schema.properties['recordings']).toMatchObject({
    items: {
      properties: {
        exposure: {
          properties: { sceneEv100: { description: expect.stringContaining('light on the scene') } },
        },
      },
    },
  });
});
