import { expect, test } from 'vitest';
import { jsonReport } from '../../src/report/json.ts';
import { exampleDocument } from './exampleDocument.ts';
import { wholeText } from './wholeText.ts';

test('jsonReport() parses back to the document and ends with a line end', () => {
  const text = wholeText(jsonReport(exampleDocument));
  expect(JSON.parse(text)).toEqual(exampleDocument);
  expect(text.endsWith('}\n')).toBe(true);
});

test.each([Number.NaN, Infinity, -Infinity])('jsonReport() refuses %d and names where it is', (number) => {
  const [first] = exampleDocument.recordings;
  if (first === undefined) throw new Error('the example is empty');
  const broken = { ...exampleDocument, recordings: [{ ...first, exposure: { ev100: number } }] };
  expect(() => wholeText(jsonReport(broken))).toThrow(/"ev100"/);
});
