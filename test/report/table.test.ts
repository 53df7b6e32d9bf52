import { stripVTControlCharacters } from 'node:util';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { tableLines, textTable } from '../../src/report/table.ts';
import { textWidth } from '../../src/report/terminalText.ts';

test('textTable() puts numbers to the right and words to the left', () => {
  const table = textTable([
    ['no.', 'clips', 'place', 'miss'],
    ['1', '3', 'Far Reef', '−1.3'],
    ['12', '140', '·', '0.0'],
  ]);
  expect(table).toBe(
    ['no.  clips  place     miss', '1        3  Far Reef  −1.3', '12     140  ·          0.0', ''].join('\n'),
  );
});

test('columns stand below each other whatever signs, however many rows and whichever colours', () => {
  const name = fc.oneof(
    fc.string({ unit: 'grapheme', minLength: 1, maxLength: 12 }),
    fc.constantFrom('映像', '\u{1f321}', 'e\u0301', '\ue000', '\u001b[31mred\u001b[39m'),
  );
  fc.assert(
    fc.property(fc.array(name, { minLength: 1, maxLength: 120 }), (names) => {
      const texts = names.map((text) => text.replaceAll(/\s/g, '_'));
      const width = Math.max(...texts.map(textWidth));
      const columns = [{ align: 'left', width } as const, { align: 'right', width: 3 } as const];
      const lines = tableLines(
        texts.map((text) => [text, '7']),
        columns,
      );
      expect(lines.map((line) => textWidth(line))).toEqual(texts.map(() => width + 2 + 3));
      for (const line of lines) expect(stripVTControlCharacters(line)).toMatch(/ {3}7$/);
      for (const [at, text] of texts.entries()) expect(lines[at]!.startsWith(text)).toBe(true);
    }),
  );
});
