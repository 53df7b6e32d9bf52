import { expect, test } from 'vitest';
import { markdownSummary } from '../../../src/report/files/markdownSummary.ts';
import { exampleDocument } from '../exampleDocument.ts';

test('the summary says what the flight was like, what matters most, and what is flagged', () => {
  const text = markdownSummary(exampleDocument);
  expect(text).toMatch(/^## Flight audit of card-014\n/);
  expect(text).toMatch(/^1\. 1 file could not be read: CLIP0009\.MP4\.$/m);
  expect(text).toMatch(/^\| CLIP0002\.MP4 \| shutter too short, .* \| ND128 \| .* \|$/m);
  const cells = text.split('\n').filter((line) => line.startsWith('|'));
  for (const line of cells) expect(line.match(/(?<!\\)\|/g)).toHaveLength(5);
});

// CommonMark 0.31, section 2.4: a backslash before a punctuation sign takes its meaning away.
test.each([
  ['*strong* _so_ `code`', String.raw`\*strong\* \_so\_ ${'\\`code\\`'}`],
  ['<img src=x onerror=alert(1)>', String.raw`\<img src=x onerror=alert(1)\>`],
  ['[click](http://127.0.0.1)', String.raw`\[click\](http\://127.0.0.1)`],
  ['www.example.org', String.raw`www\.example.org`],
  ['a|b', String.raw`a\|b`],
  ['@everyone #1 &lt;', String.raw`\@everyone \#1 \&lt;`],
  ['# not a title', String.raw`\# not a title`],
  ['1. not a list', String.raw`1\. not a list`],
  ['- not a list', String.raw`\- not a list`],
  ['two\nlines', String.raw`two\\x0alines`],
  ['DCIM/100_AERO/CLIP0001.MP4', 'DCIM/100_AERO/CLIP0001.MP4'],
])('%j stays text', (label, written) => {
  const recordings = exampleDocument.recordings.map((recording) => ({
    ...recording,
    filter: { pick: { label, stops: 4, leavesStops: 0 }, otherwise: [] },
  }));
  expect(markdownSummary({ ...exampleDocument, recordings })).toContain(`| ${written} |`);
});
