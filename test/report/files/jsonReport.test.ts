import { expect, test } from 'vitest';
import { jsonReport } from '../../../src/report/files/jsonReport.ts';
import { exampleDocument } from '../exampleDocument.ts';

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
