import { execFileSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { buildProgram } from '../../src/cli/program.ts';
import { parseSettings } from '../../src/cli/settings.ts';

let folder: string;
let settings: string;

beforeEach(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'halfturn-init-'));
  settings = path.join(folder, 'made', 'settings.toml');
  vi.spyOn(process.stdout, 'write').mockReturnValue(true);
});
afterEach(() => {
  vi.restoreAllMocks();
  rmSync(folder, { recursive: true });
});

/** Without a terminal, as a script runs it. */
async function init(...flags: readonly string[]) {
  const args = ['init', '--settings', settings, ...flags];
  const cardPlaces = { volumes: [], parents: [], wallMs: 0 };
  await (await buildProgram(args, { end: () => {}, cardPlaces })).parseAsync(args, { from: 'user' });
}

describe('halfturn init, without a terminal', () => {
  it('writes what was said as settings, and nothing else', async () => {
    await init(
      '--kit',
      'ND8, nd16 D1.8',
      '--base-iso',
      '200',
      '--shutter-angle',
      '172.8',
      '--zone',
      'europe/berlin',
    );
    expect(readdirSync(path.dirname(settings))).toEqual(['settings.toml']);
    const text = readFileSync(settings, 'utf8');
    expect(text).toMatch(/^zone = "Europe\/Berlin"/);
    const { limits, kit } = parseSettings(text, settings);
    expect(limits).toMatchObject({ shutterAngleDegrees: 172.8, baseIso: 200 });
    // A density of 1.8 is a factor of 10^1.8, 5.98 stops.
    expect(kit.map(({ label, stops }) => [label, Number(stops.toFixed(2))])).toEqual([
      ['ND8', 3],
      ['ND16', 4],
      ['D1.8', 5.98],
    ]);
  });

  it('never overwrites settings', async () => {
    await init('--kit', 'ND8');
    const before = readFileSync(settings, 'utf8');
    await expect(init('--kit', 'ND16')).rejects.toThrow(/is there already/);
    expect(readFileSync(settings, 'utf8')).toBe(before);
  });

  it.each([
    [[], /no terminal to ask on/],
    [['--kit', 'Vari'], /"Vari" does not say how strong it is/],
    [['--base-iso', 'low'], /base ISO must be a number/],
    [['--shutter-angle', '400'], /shutter angle must be a number from 1 to 360/],
    [['--zone', 'Nowhere'], /must be a time zone by its name.*"Nowhere"/],
  ])('%j is refused, and nothing is written', async (flags, reason) => {
    await expect(init(...flags)).rejects.toThrow(reason);
    expect(existsSync(settings)).toBe(false);
  });
});

// `script` of util-linux gives a program a terminal.
const bin = path.resolve(import.meta.dirname, '../../bin/halfturn.js');
const hasScript = ((): boolean => {
  try {
    execFileSync('script', ['-qec', 'true', '/dev/null'], { stdio: 'ignore' });
    return process.platform === 'linux';
  } catch {
    return false;
  }
})();

describe.skipIf(!hasScript)('halfturn init, on a terminal', () => {
  const onTerminal = (input: string, flags = ''): string => {
    const command = `${process.execPath} ${bin} init --settings ${settings} ${flags}`;
    return execFileSync('sh', ['-c', `script -qec '${command}' /dev/null || true`], {
      input,
      encoding: 'utf8',
    });
  };

  it('asks for what was not said, and again where an answer cannot be taken', () => {
    const said = onTerminal('nothing\nND8 ND64\n\n\n', '--zone UTC');
    expect(said).toContain('"nothing" does not say how strong it is.');
    expect(said).not.toContain('Time zone');
    const { limits, kit } = parseSettings(readFileSync(settings, 'utf8'), settings);
    expect(limits).toMatchObject({ shutterAngleDegrees: 180, baseIso: 100 });
    expect(kit.map(({ label }) => label)).toEqual(['ND8', 'ND64']);
  });

  it('asks before it writes anew what is there', async () => {
    await init('--kit', 'ND8');
    writeFileSync(settings, `${readFileSync(settings, 'utf8')}# mine\n`);
    expect(onTerminal('\n')).toContain('Nothing was written');
    expect(readFileSync(settings, 'utf8')).toContain('# mine');
    onTerminal('y\nND16\n\n\n\n');
    expect(readFileSync(settings, 'utf8')).not.toContain('# mine');
  });
});
