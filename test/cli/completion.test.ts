import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { completionScript } from '../../src/cli/completion.ts';
import { buildProgram } from '../../src/cli/program.ts';

const program = await buildProgram([], {
  end: () => {},
  cardPlaces: { volumes: [], parents: [], wallMs: 0 },
});

function has(shell: string): boolean {
  return spawnSync(shell, ['-c', 'true']).status === 0;
}

/** What bash itself offers behind these words. */
function offered(...words: readonly string[]): readonly string[] {
  const script = `${completionScript('bash', program)}
COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); _halfturn; printf '%s\\n' "\${COMPREPLY[@]}"`;
  const told = execFileSync('bash', ['-c', script, 'bash', 'halfturn', ...words], { encoding: 'utf8' });
  return told.split('\n').filter((line) => line !== '');
}

describe.skipIf(!has('bash'))('completion in bash', () => {
  it('offers every command that the help lists', () => {
    const listed = program
      .createHelp()
      .visibleCommands(program)
      .map((command) => command.name());
    expect(listed.length).toBeGreaterThan(10);
    expect(offered('')).toEqual(listed);
  });

  it.each([
    [['aud'], ['audit']],
    [['kit', 'r'], ['remove']],
    [['kit', 'add', 'ND16', '--sto'], ['--stops']],
    [
      ['audit', '--measure', ''],
      ['off', 'sampled', 'every'],
    ],
    [['audit', 'card', '--measure', 'e'], ['every']],
    [['completion', 'z'], ['zsh']],
    [['explain', 'highlights'], ['highlights-clipped']],
    [['logbook', 'show', ''], []],
    // A file follows: that is for the shell to offer.
    [['audit', '--out', 're'], []],
    [['show', 'CLIP'], []],
  ])('%j: %j', (words, expected) => {
    expect(offered(...words)).toEqual(expected);
  });

  it('offers the options of a command, and of no other', () => {
    expect(offered('show', '-')).toContain('--check-shutter');
    expect(offered('show', '-')).not.toContain('--out');
  });
});

const fish = 'fish';
it.skipIf(!has(fish))('a file is offered where one is meant, and nowhere else', () => {
  const behind = (typed: string) => {
    const script = `${completionScript('fish', program)}\ncomplete -C '${typed} '`;
    return execFileSync(fish, ['--no-config', '-c', script], {
      cwd: import.meta.dirname,
      encoding: 'utf8',
    });
  };
  for (const typed of ['show', 'report', 'logbook import', 'audit --out'])
    expect(behind(`halfturn ${typed}`)).toContain('cards');
  for (const typed of ['explain', 'logbook show', 'kit remove', 'schema', 'audit --fitted', 'plan --at'])
    expect(behind(`halfturn ${typed}`)).not.toContain('cards');
});

it.each(['bash', 'zsh', 'fish'] as const)('what is printed for %s is what it reads', (shell) => {
  const script = completionScript(shell, program);
  for (const word of ['audit', 'completion', 'check-shutter', 'sampled']) expect(script).toContain(word);
  if (!has(shell)) return;
  const file = path.join(mkdtempSync(path.join(tmpdir(), 'halfturn-shell-')), 'script');
  writeFileSync(file, script);
  expect(spawnSync(shell, ['-n', file], { encoding: 'utf8' }).stderr).toBe('');
  rmSync(path.dirname(file), { recursive: true });
});
