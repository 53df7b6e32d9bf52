import { spawn, spawnSync } from 'node:child_process';
import { copyFileSync, mkdirSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { sampleCard } from '../../sampleCard.ts';
import { madeUpVolumes } from './volumes.ts';

// The built program with places of our own to look in: `main` takes them. On a terminal by way of `script` (util-linux).

const main = path.resolve(import.meta.dirname, '../../../dist/cli/main.js');
const script = spawnSync('script', ['--version'], { encoding: 'utf8' });
const hasTerminal = script.status === 0 && script.stdout.includes('util-linux');
if (!hasTerminal) console.log('left out: asking on a terminal (there is no `script` of util-linux)');

const { root } = madeUpVolumes({
  'none/STICK': ['letter.txt'],
  'one/CARD A': [],
  'two/first': [],
  'two/second': [],
});

beforeAll(() => {
  for (const [card, still] of [
    ['one/CARD A', 'AERO0001.JPG'],
    ['two/first', 'AERO0001.JPG'],
    ['two/second', 'AERO0002.JPG'],
  ] as const) {
    const folder = path.join(root, card, 'DCIM', '101_AERO');
    mkdirSync(folder, { recursive: true });
    copyFileSync(path.join(sampleCard, 'DCIM/101_AERO/AERO0001.JPG'), path.join(folder, still));
  }
  for (const cards of ['none', 'one', 'two']) {
    const places = { volumes: [], parents: [{ folder: path.join(root, cards), levels: 1 }], wallMs: 30_000 };
    writeFileSync(
      path.join(root, `${cards}.mjs`),
      `import { main } from ${JSON.stringify(main)};\n` +
        `process.exitCode = await main(process.argv.slice(2), ${JSON.stringify(places)});\n`,
    );
  }
});

afterAll(() => rmSync(root, { recursive: true, force: true }));

interface Ran {
  readonly text: string;
  readonly status: number | null;
}

function run(command: readonly string[], typed: string): Promise<Ran> {
  const env = { ...process.env, HOME: root, NO_COLOR: '1' };
  const child = spawn(command[0]!, command.slice(1), { cwd: root, env });
  let text = '';
  for (const stream of [child.stdout, child.stderr])
    stream.setEncoding('utf8').on('data', (part) => (text += part));
  // The question must stand there first: a terminal would take what comes before it as well, and prove less.
  const asked = setInterval(() => {
    if (!text.includes('Which one?')) return;
    clearInterval(asked);
    child.stdin.write(typed);
  }, 50);
  return new Promise((resolve) => {
    child.once('close', (status) => {
      clearInterval(asked);
      resolve({ text: text.replaceAll('\r\n', '\n'), status });
    });
  });
}

const audit = ['audit', '--measure', 'off', '--no-logbook'];

function elsewhere(cards: string, args: readonly string[] = audit): Promise<Ran> {
  return run([process.execPath, `${cards}.mjs`, ...args], '');
}

function onTerminal(cards: string, typed = ''): Promise<Ran> {
  const command = [process.execPath, `${cards}.mjs`, ...audit].map((word) => `'${word}'`).join(' ');
  return run(['script', '-qec', command, '/dev/null'], typed);
}

describe('halfturn audit without a path, where there is nobody to ask', () => {
  it('says what to do where no card is mounted', async () => {
    const { text, status } = await elsewhere('none');
    expect(status).toBe(2);
    expect(text).toContain('no mounted card was found');
    expect(text).toContain('halfturn audit <folder>');
  });

  it.each(['one', 'two'])('names the cards and the command to type: %s', async (cards) => {
    const { text, status } = await elsewhere(cards);
    expect(status).toBe(2);
    for (const card of readdirSync(path.join(root, cards))) {
      expect(text).toContain(path.join(root, cards, card));
      expect(text).toContain('1 recording');
    }
    expect(text).toMatch(/Name it: halfturn audit '?\//);
  });

  it('audits a folder that is named, whatever is mounted', async () => {
    const { text, status } = await elsewhere('two', [...audit, path.join(root, 'one/CARD A')]);
    expect(status).toBe(0);
    expect(text).toContain('1 still');
  });

  it('writes no notes on or beside a card that nobody named', async () => {
    const { text, status } = await elsewhere('one', ['note']);
    expect(status).toBe(2);
    expect(text).toContain('--print');
  });
});

describe.skipIf(!hasTerminal)('halfturn audit without a path, on a terminal', () => {
  it('takes the only card and says so', async () => {
    const { text, status } = await onTerminal('one');
    expect(text).toContain(`Taking ${path.join(root, 'one/CARD A')} (`);
    expect(text).toContain('1 still');
    expect(status).toBe(0);
  });

  it('asks which of several, and again after what is no number of the list', async () => {
    const { text, status } = await onTerminal('two', 'both\n0\n3\n1.5\n 2 \n');
    expect(text).toMatch(/ 1 {2}\S*\/two\/first .*1 recording\n {2}2 {2}\S*\/two\/second .*1 recording\n/);
    expect(text.match(/Which one\?/g)).toHaveLength(5);
    expect(text).toContain('AERO0002.JPG');
    expect(status).toBe(0);
  });

  it.each([
    ['Enter', '\n', 2],
    ['the end of input', '\u0004', 2],
    ['Ctrl-C', '\u0003', 130],
  ])('leaves at %s', async (_, typed, expected) => {
    const { text, status } = await onTerminal('two', typed);
    expect(text).not.toContain('.JPG');
    expect(status).toBe(expected);
  });

  it('says what to do where no card is mounted', async () => {
    const { text, status } = await onTerminal('none');
    expect(text).toContain('no mounted card was found');
    expect(status).toBe(2);
  });
});
