import { execFileSync, spawnSync } from 'node:child_process';
import {
  chmodSync,
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  readdirSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { linkedFiles } from './markdownLinks.ts';
import { libraryExample } from './readmeBlocks.ts';
import { sampleCard } from './sampleCard.ts';

// Packs a copy of the project, so that no other test sees its dist change, and uses the package as someone who installed
// it: only its own dependencies are linked beside it, and no network is needed.

const root = path.resolve(import.meta.dirname, '..');
const modules = path.join(root, 'node_modules');
const packageText = readFileSync(path.join(root, 'package.json'), 'utf8');
const { dependencies, optionalDependencies } = JSON.parse(packageText) as Record<
  'dependencies' | 'optionalDependencies',
  Readonly<Record<string, string>>
>;
const shownByReadme = linkedFrom('README.md');

/** What a text links to or shows, and what those texts do. */
function linkedFrom(first: string): readonly string[] {
  const all = new Set([first]);
  for (const text of all) {
    if (!text.endsWith('.md')) continue;
    for (const target of linkedFiles(readFileSync(path.join(root, text), 'utf8')))
      all.add(path.posix.join(path.posix.dirname(text), target));
  }
  return [...all].filter((file) => file !== first);
}

interface Packed {
  readonly filename: string;
  readonly size: number;
  readonly files: readonly { readonly path: string }[];
}

let scratch: string;
let app: string;
let installed: string;
let packed: Packed;
let names: readonly string[];

beforeAll(() => {
  scratch = mkdtempSync(path.join(tmpdir(), 'halfturn-package-'));
  const copy = path.join(scratch, 'copy');
  const own = ['bin', 'src', 'package.json', 'tsconfig.json', 'README.md', 'LICENSE', '.gitignore'];
  for (const name of [...own, ...shownByReadme])
    cpSync(path.join(root, name), path.join(copy, name), { recursive: true });
  symlinkSync(path.join(root, 'node_modules'), path.join(copy, 'node_modules'));
  mkdirSync(path.join(copy, 'dist'));
  writeFileSync(path.join(copy, 'dist', 'removedLongAgo.js'), '');
  const told = execFileSync('npm', ['pack', '--json', '--loglevel=error'], {
    cwd: copy,
    encoding: 'utf8',
    shell: process.platform === 'win32',
  });
  [packed] = JSON.parse(told.slice(told.indexOf('['))) as [Packed];
  names = packed.files.map((file) => file.path);

  app = path.join(scratch, 'app');
  installed = path.join(app, 'node_modules', 'halfturn');
  mkdirSync(installed, { recursive: true });
  execFileSync('tar', ['-xzf', packed.filename, '-C', installed, '--strip-components=1'], { cwd: copy });
  for (const name of [...Object.keys(dependencies), ...Object.keys(optionalDependencies)])
    link(name, path.join(installed, 'node_modules'));
  // What every project in TypeScript for Node has.
  link('@types/node', path.join(app, 'node_modules'));
});

afterAll(() => rmSync(scratch, { recursive: true, force: true }));

function link(name: string, nodeModules: string): void {
  mkdirSync(path.dirname(path.join(nodeModules, name)), { recursive: true });
  symlinkSync(path.join(root, 'node_modules', name), path.join(nodeModules, name), 'junction');
}

function textOf(name: string): string {
  return readFileSync(path.join(installed, name), 'utf8');
}

/** The files that some lead to by what they import, themselves included. */
function reachedFrom(starts: readonly string[], kind: '.js' | '.d.ts'): ReadonlySet<string> {
  const reached = new Set<string>();
  const waiting = [...starts];
  for (let file = waiting.pop(); file !== undefined; file = waiting.pop()) {
    if (reached.has(file)) continue;
    reached.add(file);
    const text = textOf(file);
    for (const [, target = ''] of text.matchAll(/(?:\bfrom|\bimport\(?|\bnew URL\()\s*['"](\.[^'"]+)['"]/g)) {
      const found = path.posix.join(path.posix.dirname(file), target);
      if (kind === '.d.ts') waiting.push(found.replace(/\.[jt]sx?$/, '.d.ts'));
      else if (found.endsWith('.js')) waiting.push(found);
    }
  }
  return reached;
}

describe('the package', () => {
  it('holds the program, what it imports, the types of the library, what README shows, and nothing else', () => {
    const program = reachedFrom(['bin/halfturn.js', 'dist/index.js'], '.js');
    const types = reachedFrom(['dist/index.d.ts'], '.d.ts');
    expect(names).toEqual(
      expect.arrayContaining([...program, ...types, 'LICENSE', 'README.md', 'package.json']),
    );
    const others = names.filter((name) => !program.has(name) && !types.has(name));
    // What a module of types alone compiles to.
    const isTypesAlone = (name: string): boolean =>
      /^(?:\/\*[^]*\*\/)?\s*export \{\};\s*$/.test(textOf(name));
    const texts = others.filter(
      (name) => !isTypesAlone(name) && !/^dist\/(?:audit|document|domain)\/.*\.d\.ts$/.test(name),
    );
    expect(texts.toSorted()).toEqual(['LICENSE', 'README.md', 'package.json', ...shownByReadme].toSorted());
  });

  it('holds every file that a text in it links to or shows', () => {
    const texts = names.filter((name) => name.endsWith('.md'));
    const links = texts.flatMap((text) => linkedFiles(textOf(text)).map((target) => ({ text, target })));
    expect(links.length).toBeGreaterThan(2);
    const missing = links.filter(
      ({ text, target }) => !names.includes(path.posix.join(path.posix.dirname(text), target)),
    );
    expect(missing).toEqual([]);
  });

  it('leaves out what an earlier build left behind', () => {
    expect(names).not.toContain('dist/removedLongAgo.js');
  });

  // Code is 0.5 MB packed, and README's picture has 0.1 MB. A sample or a source map would show here.
  it('is smaller than 700 kB', () => {
    expect(packed.size).toBeLessThan(700e3);
  });
});

function node(
  args: readonly string[],
  more: NodeJS.ProcessEnv = {},
): {
  readonly stdout: string;
  readonly stderr: string;
  readonly status: number | null;
} {
  const env = { ...process.env, HOME: scratch, NO_COLOR: '1', ...more };
  return spawnSync(process.execPath, args, { cwd: app, env, encoding: 'utf8' });
}

describe('the installed program', () => {
  const program = path.join('node_modules', 'halfturn', 'bin', 'halfturn.js');

  it('says what it can do', () => {
    const { stdout, status } = node([program, 'doctor']);
    expect(stdout).toContain('Everything an audit needs is here.');
    expect(status).toBe(0);
  });

  it('runs the programs that npm brought, also where it ran no install script', (context) => {
    const scopes = ['@ffmpeg-installer', '@ffprobe-installer'];
    if (process.platform === 'win32' || !scopes.every((scope) => existsSync(path.join(modules, scope))))
      context.skip('no optional packages, or none that are made executable');
    for (const scope of scopes) {
      const copy = path.join(installed, 'node_modules', scope);
      rmSync(copy, { recursive: true });
      cpSync(path.join(modules, scope), copy, { recursive: true });
      for (const name of readdirSync(copy, { recursive: true, encoding: 'utf8' }))
        if (/\/ff(?:mpeg|probe)$/.test(name)) chmodSync(path.join(copy, name), 0o644);
    }
    const { stdout, status } = node([program, 'doctor'], { PATH: '' });
    expect(stdout).toMatch(/^ffprobe of the npm package: .*, in use$/m);
    expect(stdout).toMatch(/^ffmpeg of the npm package: .*, in use$/m);
    expect(status).toBe(0);
  });

  it('audits a card', () => {
    const { stdout, stderr, status } = node([
      program,
      'audit',
      sampleCard,
      '--measure',
      'off',
      '--no-logbook',
    ]);
    expect(stderr).toBe('');
    expect(stdout).toContain('card, all in DCIM/: 21 clips and 23 stills');
    expect(status).toBe(0);
  });
});

describe('the example of README for the library', () => {
  it('satisfies a strict compiler that checks the types of the package too, and runs', () => {
    writeFileSync(path.join(app, 'package.json'), '{ "type": "module" }');
    writeFileSync(path.join(app, 'example.ts'), libraryExample());
    const tsc = path.join(root, 'node_modules', 'typescript', 'bin', 'tsc');
    const options = ['--strict', '--target', 'es2022', '--module', 'nodenext', '--skipLibCheck', 'false'];
    const checked = node([tsc, 'example.ts', ...options, '--exactOptionalPropertyTypes', '--types', 'node']);
    expect(checked.stdout).toBe('');
    expect(checked.status).toBe(0);
    const { stdout, stderr, status } = node(['example.js', sampleCard]);
    expect(stderr).toBe('');
    expect(stdout).toMatch(/^DCIM\/100_AERO\/CLIP0003\.MP4: 11\.25 degrees, carry ND\d+$/m);
    expect(status).toBe(0);
  });
});
