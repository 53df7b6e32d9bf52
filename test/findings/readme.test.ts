import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { expect, test } from 'vitest';
import {
  explanationOf,
  findingKinds,
  flightFindings,
  recordingFindings,
  sequenceFindings,
} from '../../src/findings/index.ts';

// UPDATE_GOLDEN=1 writes src/findings/README.md anew from the list of findings.
const file = path.resolve(import.meta.dirname, '../../src/findings/README.md');

const top = `# Findings

Everything an audit can say about a recording, a bracket or a series. A kind of finding is one file, whole: what it
holds, its title, check, sentence, remedy, meaning, and its limit with reason and source.

Add one: write \`<kindInCamelCase>.ts\` as its neighbours are, enter it in the list in \`index.ts\` (findings of equal
weight keep that order), and plant the fault in \`sample-media-generator/planted\`: \`test/planted.test.ts\` wants it found
there and nowhere else. What lacks a part does not compile. The document's schema, the titles, \`halfturn explain\` and the
table below follow from the list; \`UPDATE_GOLDEN=1 npm test -- test/findings\` writes the table anew.

The light of a still that nothing says a camera took (no camera, no setting), and of one that was put together from
several exposures, is remarked on only: drawings, screens and scans are as bright as somebody made them. A remark on flecks
or on brightness asks nothing of the next flight.

A finding weighs high, medium (both flag the recording) or low (a remark). Limits are the defaults; names in brackets are
those of the settings.

<!-- prettier-ignore -->
`;

const row = (cells: readonly string[]) => `| ${cells.map((cell) => cell.replaceAll('|', '/')).join(' | ')} |`;

test('the README of the findings lists every kind as it is', () => {
  const rows = findingKinds.map((kind) => {
    const { title, meaning, limit } = explanationOf(kind);
    return row([`\`${kind}\``, title, meaning, limit.at, limit.source]);
  });
  const table = [
    row(['kind', 'title', 'meaning', 'limit', 'source']),
    row(['-', '-', '-', '-', '-']),
    ...rows,
  ];
  const text = `${top}${table.join('\n')}\n`;
  if (process.env['UPDATE_GOLDEN'] === '1') writeFileSync(file, text);
  expect(readFileSync(file, 'utf8')).toBe(text);
});

const findings = [...recordingFindings, ...flightFindings, ...sequenceFindings];

test.each(findings)('$kind is explained: what it holds, by an example, and in whole sentences', (finding) => {
  expect(finding.data.parse(finding.example)).toBeDefined();
  const { meaning, limit, reads } = explanationOf(finding.kind);
  for (const text of [meaning, reads]) expect(text).toMatch(/^[A-Z][^]*\.$/);
  for (const text of Object.values(limit)) expect(text).toMatch(/[^.]$/);
});
