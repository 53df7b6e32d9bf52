import { execFile } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { cardAudit, type Ran } from '../cardAudit.ts';
import { sampleCard, sampleSettings } from '../sampleCard.ts';

const root = path.resolve(import.meta.dirname, '../..');
const folder = path.join(import.meta.dirname, 'transcripts');
let scratch: string;

beforeAll(() => {
  scratch = mkdtempSync(path.join(tmpdir(), 'halfturn-transcripts-'));
  mkdirSync(path.join(scratch, 'empty'));
  mkdirSync(path.join(scratch, 'texts'));
  writeFileSync(path.join(scratch, 'texts', 'list.mp4'), '#EXTM3U\nhttp://127.0.0.1:9/clip.ts\n');
  writeFileSync(path.join(scratch, 'wrong.toml'), '[shutter]\nangle = 180\n');
  writeFileSync(path.join(scratch, 'notes.toml'), '[[fitted]]\nfilter = "purple"\n');
  writeFileSync(path.join(scratch, 'mistyped.toml'), '[[fitted]]\nfilter = "ND16"\nfiles = ["lst.mp4"]\n');
  mkdirSync(path.join(scratch, 'taken', 'report.html'), { recursive: true });
});

afterAll(() => rmSync(scratch, { recursive: true, force: true }));

function halfturn(args: readonly string[]): Promise<Ran> {
  // A home of its own: nobody's settings may change what these transcripts say.
  const env = { PATH: process.env['PATH'] ?? '', HOME: scratch, NO_COLOR: '1', TZ: 'UTC' };
  const command = [path.join(root, 'bin', 'halfturn.js'), ...args];
  return new Promise((resolve) => {
    execFile(
      process.execPath,
      command,
      { env, cwd: scratch, maxBuffer: 1 << 26 },
      (error, stdout, stderr) => {
        resolve({ stdout, stderr, status: error === null ? 0 : Number(error.code) });
      },
    );
  });
}

function transcript(words: string, { stdout, stderr, status }: Ran): string {
  const said = stderr === '' ? '' : `\nOn standard error:\n\n\`\`\`\n${tidied(stderr)}\`\`\`\n`;
  return `\`\`\`\n$ halfturn ${words}\n${tidied(stdout)}\`\`\`\n${said}\nExit status ${status}\n`;
}

function tidied(text: string): string {
  return text.replaceAll(sampleCard, 'card').replaceAll(scratch, '~').replaceAll(root, '.');
}

/** The command, word by word, and the file that holds what it must say. */
const cases: readonly { readonly name: string; readonly words: string; readonly status: number }[] = [
  { name: 'audit', words: 'audit card --settings settings.toml', status: 0 },
  {
    name: 'audit-strict',
    words: 'audit card --settings settings.toml --measure off --quiet --strict',
    status: 1,
  },
  { name: 'help', words: '--help', status: 0 },
  { name: 'help-audit', words: 'audit --help', status: 0 },
  { name: 'help-show', words: 'show --help', status: 0 },
  { name: 'explain', words: 'explain', status: 0 },
  { name: 'explain-kind', words: 'explain shutter-short', status: 0 },
  { name: 'no-such-finding', words: 'explain shuter-short', status: 2 },
  { name: 'kit', words: 'kit --settings settings.toml', status: 0 },
  { name: 'help-kit', words: 'kit add --help', status: 0 },
  { name: 'no-such-dump', words: 'audit nowhere', status: 2 },
  { name: 'empty-folder', words: 'audit empty', status: 2 },
  { name: 'playlist', words: 'audit texts', status: 0 },
  { name: 'no-such-option', words: 'audit empty --sideways', status: 2 },
  { name: 'no-such-filter', words: 'audit card --fitted purple', status: 2 },
  { name: 'wrong-settings', words: 'audit card --settings wrong.toml', status: 2 },
  { name: 'wrong-notes', words: 'audit card --notes notes.toml', status: 2 },
  { name: 'mistyped-notes', words: 'audit texts --notes mistyped.toml', status: 0 },
  { name: 'report-in-the-way', words: 'audit texts --out taken', status: 2 },
  { name: 'open-nothing', words: 'audit texts --open', status: 2 },
  { name: 'output-in-dump', words: 'audit card --out card/report', status: 2 },
  {
    name: 'show-clip',
    words: 'show card/DCIM/100_AERO/CLIP0003.MP4 --settings settings.toml --fitted none',
    status: 0,
  },
  { name: 'show-still', words: 'show card/DCIM/101_AERO/AERO0001.JPG --settings settings.toml', status: 0 },
  { name: 'show-member', words: 'show card/DCIM/101_AERO/AERO0006.JPG --settings settings.toml', status: 0 },
  { name: 'show-nothing', words: 'show wrong.toml', status: 2 },
];

describe('halfturn', () => {
  it.each(cases)('$words', async ({ name, words, status }) => {
    const args = words.split(' ').map((word) => {
      if (word === 'settings.toml') return sampleSettings;
      return word.startsWith('card') ? word.replace('card', sampleCard) : word;
    });
    const ran = name === 'audit' ? (await cardAudit()).ran : await halfturn(args);
    expect(ran.status).toBe(status);
    const file = path.join(folder, `${name}.md`);
    const text = transcript(words, ran);
    if (process.env['UPDATE_GOLDEN'] === '1') writeFileSync(file, text);
    expect(text).toBe(readFileSync(file, 'utf8'));
  });

  it('says the same in --json as in audit.json, and nothing else on standard output', async () => {
    const out = path.join(scratch, 'report');
    const { stdout, stderr } = await halfturn([
      'audit',
      sampleCard,
      '--measure',
      'off',
      '--json',
      '--out',
      out,
    ]);
    expect(stderr).toBe('');
    expect(JSON.parse(stdout)).toEqual(JSON.parse(readFileSync(path.join(out, 'audit.json'), 'utf8')));
  });

  it('works where no ffmpeg is on the search path, with the programs that the packages carry', async () => {
    const env = { PATH: '/nonexistent', HOME: scratch };
    const args = [path.join(root, 'bin', 'halfturn.js'), 'doctor'];
    const said = await new Promise<string>((resolve) => {
      execFile(process.execPath, args, { env }, (_, stdout) => resolve(stdout));
    });
    expect(said).toMatch(/ffprobe of the npm package: .*in use/);
    expect(said).toMatch(/Everything an audit needs is here/);
  });
});
