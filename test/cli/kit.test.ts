import { mkdtempSync, readdirSync, existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { buildProgram } from '../../src/cli/program.ts';

let folder: string;
let settings: string;
let said: string;

beforeEach(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'halfturn-kit-'));
  settings = path.join(folder, 'made', 'settings.toml');
  said = '';
  vi.spyOn(process.stdout, 'write').mockImplementation((text) => {
    said += String(text);
    return true;
  });
});

afterEach(() => {
  vi.restoreAllMocks();
  rmSync(folder, { recursive: true });
});

type Flags = Readonly<Record<string, string | true>>;

async function kit(command: string, label: readonly string[], flags: Flags) {
  const options = Object.entries(flags).map(([flag, value]) =>
    value === true ? `--${flag}` : `--${flag}=${value}`,
  );
  const args = ['kit', command, ...label, ...options];
  const cardPlaces = { volumes: [], parents: [], wallMs: 0 };
  await (await buildProgram(args, { end: () => {}, cardPlaces })).parseAsync(args, { from: 'user' });
}

const runKitAdd = (label: string | readonly string[], flags: Flags) => kit('add', [label].flat(), flags);
const runKitRemove = (label: string, flags: Flags) => kit('remove', [label], flags);
const runKitList = (flags: Flags) => kit('list', [], flags);

const lines = () => said.trimEnd().split('\n');

describe('halfturn kit', () => {
  it('makes the settings where there are none, and shows three notations side by side', async () => {
    await runKitAdd('ND1000', { settings });
    // Table of neutral-density filters: 1000 is 9.97 stops and density 3.
    expect(lines()).toEqual(['filter  stops  factor  density', 'ND1000   9.97    1000     3.00']);
    expect(readFileSync(settings, 'utf8')).toBe('[[filter]]\nlabel = "ND1000"\nfactor = 1000\n');
    expect(readdirSync(path.dirname(settings))).toEqual(['settings.toml']);
  });

  it('adds every kind of filter, the weakest first in the list', async () => {
    await runKitAdd('strong', { settings, density: '3' });
    await runKitAdd('vari', { settings, range: '2-5' });
    await runKitAdd('pol', { settings, polariser: true });
    await runKitAdd('grad', { settings, graduated: true });
    said = '';
    await runKitList({ settings });
    expect(lines().map((line) => line.split(' ')[0])).toEqual(['filter', 'grad', 'pol', 'vari', 'strong']);
    expect(said).toContain('2.00 to 5.00  4 to 32  0.60 to 1.51  variable');
    expect(said).toContain('graduated, not counted');
  });

  it('removes one by its label and keeps the rest', async () => {
    await runKitAdd('ND8', { settings });
    await runKitAdd('ND16', { settings });
    await runKitRemove('nd8', { settings });
    expect(readFileSync(settings, 'utf8')).toBe('[[filter]]\nlabel = "ND16"\nfactor = 16\n');
  });

  it('adds several at once, and none where one cannot be added', async () => {
    await runKitAdd(['ND8', 'ND16', 'ND64'], { settings });
    said = '';
    await runKitList({ settings });
    expect(lines().map((line) => line.split(' ')[0])).toEqual(['filter', 'ND8', 'ND16', 'ND64']);
    const before = readFileSync(settings, 'utf8');
    await expect(runKitAdd(['ND4', 'nd16'], { settings })).rejects.toThrow(/ND16 is in your kit already/);
    await expect(runKitAdd(['ND4', 'nd4'], { settings })).rejects.toThrow();
    await expect(runKitAdd(['ND4', 'blue'], { settings, stops: '2' })).rejects.toThrow(/of one filter/);
    expect(readFileSync(settings, 'utf8')).toBe(before);
  });

  it('takes a measured strength near the label, and none that contradicts it', async () => {
    await expect(runKitAdd('ND8', { settings, stops: '4' })).rejects.toThrow(
      'ND8 takes 3 stops, but 4 stops were said.',
    );
    await runKitAdd('ND8', { settings, stops: '3.3' });
    expect(readFileSync(settings, 'utf8')).toContain('stops = 3.3');
  });

  it('never writes what it could not read again', async () => {
    await runKitAdd('ND8', { settings });
    const before = readFileSync(settings, 'utf8');
    await expect(runKitAdd('ND8', { settings })).rejects.toThrow(/ND8 is in your kit already, with 3 stops/);
    await expect(runKitAdd('blue', { settings })).rejects.toThrow(/exactly one of stops, factor, density/);
    await expect(runKitAdd('blue', { settings, stops: 'many' })).rejects.toThrow(/--stops must be a number/);
    await expect(runKitAdd('blue', { settings, range: '5' })).rejects.toThrow(/--range must be like 2-5/);
    await expect(runKitRemove('ND4', { settings })).rejects.toThrow(/no filter of your kit/);
    expect(readFileSync(settings, 'utf8')).toBe(before);
  });

  it.each([
    ['', { stops: '3' }, /^A filter needs a label/],
    ['blue', { stops: '-3' }, /^--stops must be a number from 0 to 30, but is "-3"/],
    ['blue', { factor: '0.5' }, /^--factor must be a number from 1 to/],
    ['blue', { density: 'NaN' }, /^--density must be a number from 0 to 9/],
    ['blue', { range: '5-2' }, /^--range must rise/],
    ['blue', { stops: '2', factor: '4' }, /^"blue" cannot be added: give exactly one/],
  ])('says what is wrong with %j and %o in the words of the command line', async (label, flags, sentence) => {
    await expect(runKitAdd(label, { settings, ...flags })).rejects.toThrow(sentence);
    expect(existsSync(settings)).toBe(false);
  });

  it('does not touch settings that hold another mistake', async () => {
    const file = path.join(folder, 'wrong.toml');
    writeFileSync(file, '[shutter]\nangle = 180\n');
    await expect(runKitAdd('ND8', { settings: file })).rejects.toThrow(/unknown key "angle"/);
    expect(readFileSync(file, 'utf8')).toBe('[shutter]\nangle = 180\n');
  });
});
