import fc from 'fast-check';
import { expect, test } from 'vitest';
import { displayText } from '../../src/domain/displayText.ts';

test.each([
  ['plain name.MP4', 'plain name.MP4'],
  ['Zürich 東京 🚁', 'Zürich 東京 🚁'],
  ['a\nb\tc', 'a\\x0ab\\x09c'],
  ['\u001b[31mred', '\\x1b[31mred'],
  ['\u009b31m', '\\xc2\\x9b31m'],
  ['abc\u202egpj.exe', 'abc\\xe2\\x80\\xaegpj.exe'],
  ['\ufeffx', '\\xef\\xbb\\xbfx'],
])('displayText(%j) is safe to print', (text, shown) => {
  expect(displayText(text)).toBe(shown);
});

test('displayText() shows bytes that are not UTF-8, and keeps those that are', () => {
  expect(displayText(Buffer.from([0x61, 0xff, 0xfe, 0x62]))).toBe('a\\xff\\xfeb');
  expect(displayText(Buffer.from([0xe2, 0x82]))).toBe('\\xe2\\x82');
  // An overlong "/" and a lone surrogate are not UTF-8 (RFC 3629, section 3).
  expect(displayText(Buffer.from([0xc0, 0xaf, 0xed, 0xa0, 0x80]))).toBe('\\xc0\\xaf\\xed\\xa0\\x80');
  expect(displayText(Buffer.from('Zürich 東京 🚁'))).toBe('Zürich 東京 🚁');
});

test('displayText() of any bytes holds nothing that a terminal obeys', () => {
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 60 }), (bytes) => {
      // oxlint-disable-next-line no-control-regex
      expect(displayText(bytes)).not.toMatch(/[\u0000-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/);
    }),
  );
});

test('displayText() says the same of text and of its bytes', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'binary' }), (text) => {
      if (text.isWellFormed()) expect(displayText(Buffer.from(text))).toBe(displayText(text));
    }),
  );
});
