import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { expect, test } from 'vitest';

// A folder under src imports domain/ and itself; containers/ also programs/, reading/ and measuring/ also both, report/
// also document/ and findings/, document/ also findings/, logbook/ also document/; only audit/ and cli/ join the rest,
// and index.ts shows what they joined. cache/ imports nothing of other folders, domain/ nothing, not even node:.
const root = path.resolve(import.meta.dirname, '..');
const joining = new Set(['audit', 'cli']);
const mayAlsoImport: Readonly<Record<string, readonly string[]>> = {
  domain: [],
  cache: [],
  containers: ['domain', 'programs'],
  reading: ['domain', 'programs', 'containers'],
  measuring: ['domain', 'programs', 'containers'],
  document: ['domain', 'findings'],
  report: ['domain', 'document', 'findings'],
  logbook: ['domain', 'document'],
  'index.ts': ['domain', 'document', 'audit'],
};
const startsPrograms = /^(?:node:)?child_process$|^fluent-ffmpeg$/;

/** Packages that one file alone may import. */
const onlyIn: Readonly<Record<string, string>> = {
  '@photostructure/sqlite': 'src/logbook/connection.ts',
  'astronomy-engine': 'src/logbook/sunPosition.ts',
};

/** What is wrong with one import of one file (path from the root, "/"), if anything. */
function violation(file: string, specifier: string): string | undefined {
  const [top = '', folder = ''] = file.split('/');
  const says = (rule: string) => `${file} imports ${specifier}: ${rule}`;
  const relative = specifier.startsWith('.');
  const target = path.posix.join(path.posix.dirname(file), specifier);
  if (relative && !/\.tsx?$/.test(specifier)) return says('a relative import ends in .ts or .tsx');
  if (top === 'sample-media-generator')
    return relative && !target.startsWith(`${top}/`)
      ? says('the truth must not come from our own code')
      : undefined;
  if (!relative && folder === 'domain') return says('domain imports nothing but itself');
  if (startsPrograms.test(specifier) && folder !== 'programs') return says('only programs starts programs');
  const only = onlyIn[specifier];
  if (only !== undefined && file !== only) return says(`only ${only} may`);
  if (!relative || joining.has(folder)) return undefined;
  const [targetTop = '', targetFolder = ''] = target.split('/');
  const allowed = [folder, ...(mayAlsoImport[folder] ?? ['domain'])];
  return targetTop === 'src' && allowed.includes(targetFolder)
    ? undefined
    : says(`only ${allowed.join(', ')} may be`);
}

function importsIn(top: string): readonly (readonly [file: string, specifier: string])[] {
  const files = readdirSync(path.join(root, top), { recursive: true, encoding: 'utf8' });
  return files
    .filter((file) => /\.tsx?$/.test(file))
    .map((file) => `${top}/${file.split(path.sep).join('/')}`)
    .flatMap((file) => {
      const text = readFileSync(path.join(root, file), 'utf8');
      const found = text.matchAll(/(?:^\s*import|\bfrom|\bimport\(|\brequire\()\s*['"]([^'"\n]+)['"]/gm);
      return [...found].map((match) => [file, match[1] ?? ''] as const);
    });
}

test('every import follows the star rule', () => {
  const imports = [...importsIn('src'), ...importsIn('sample-media-generator')];
  expect(imports.length).toBeGreaterThan(20);
  expect(imports.flatMap(([file, specifier]) => violation(file, specifier) ?? [])).toEqual([]);
});

test.each([
  ['src/domain/exposure.ts', 'node:path'],
  ['src/domain/exposure.ts', '../findings/judge.ts'],
  ['src/findings/judge.ts', '../advice/advise.ts'],
  ['src/findings/judge.ts', '../programs/run.ts'],
  ['src/findings/index.ts', '../audit/audit.ts'],
  ['src/findings/judge.ts', '../domain/findingWeight'],
  ['src/reading/dump.ts', 'node:child_process'],
  ['src/cli/main.ts', 'fluent-ffmpeg'],
  ['src/index.ts', './findings/judge.ts'],
  ['src/logbook/readFlights.ts', '@photostructure/sqlite'],
  ['src/cli/commands/plan.ts', 'astronomy-engine'],
  ['src/logbook/flightsOf.ts', '../reading/flightNotes.ts'],
  ['src/findings/judge.ts', '../document/reportedRecording.ts'],
  ['src/document/auditDocument.ts', '../report/index.ts'],
  ['src/cache/cache.ts', '../domain/format.ts'],
  ['src/containers/mp4.ts', '../reading/clip.ts'],
  ['src/reading/identity.ts', '../cache/cache.ts'],
  ['sample-media-generator/main.ts', '../src/domain/shutter.ts'],
])('the rule refuses %s importing %s', (file, specifier) => {
  expect(violation(file, specifier)).toBeDefined();
});

test.each([
  ['src/findings/index.ts', './flicker.ts'],
  ['src/document/reportedRecording.ts', '../findings/index.ts'],
  ['src/report/terminal.ts', '../findings/index.ts'],
  ['src/reading/dump.ts', '../programs/run.ts'],
  ['src/containers/mp4.ts', '../programs/openMedia.ts'],
  ['src/programs/run.ts', 'node:child_process'],
  ['src/report/index.ts', '../document/auditDocument.ts'],
  ['src/cli/commands/auditCommand.ts', '../../report/index.ts'],
  ['src/logbook/connection.ts', '@photostructure/sqlite'],
  ['src/audit/audit.ts', '../findings/judge.ts'],
  ['sample-media-generator/main.ts', 'node:child_process'],
])('the rule allows %s importing %s', (file, specifier) => {
  expect(violation(file, specifier)).toBeUndefined();
});
