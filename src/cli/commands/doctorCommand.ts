import type { Command } from 'commander';
import { HalfturnError } from '../../domain/halfturnError.ts';
import { heifDecoderVersion } from '../../measuring/heif/heifPixels.ts';
import { locateAll, type Candidate } from '../../programs/locate.ts';
import { pictureLibrary } from '../../programs/pictureLibrary.ts';
import { exitStatus } from '../exitStatus.ts';
import type { CommandLine } from '../flags.ts';
import { defaultLogbookFile } from '../logbookFile.ts';
import { cacheSentence } from '../outputs.ts';
import { defaultSettingsFile } from '../settings.ts';

export function addCommand(program: Command, { end }: CommandLine): void {
  program
    .command('doctor')
    .description('what this installation can and cannot do, and how to mend it')
    .addHelpText('after', '\nExample:\n  halfturn doctor')
    .action(async () => end(await runDoctor(program.version()!)));
}

async function runDoctor(version: string): Promise<number> {
  const { lines, usable } = await inspectInstallation(version);
  process.stdout.write(`${lines.join('\n')}\n`);
  return usable ? exitStatus.finished : exitStatus.notDone;
}

async function inspectInstallation(version: string): Promise<{ lines: readonly string[]; usable: boolean }> {
  const candidates = await locateAll();
  const usable = (['ffprobe', 'ffmpeg'] as const).every((name) =>
    candidates.some((candidate) => candidate.name === name && candidate.chosen),
  );
  return {
    usable,
    lines: [
      `Halfturn ${version} on Node ${process.versions.node}`,
      '',
      ...candidates.flatMap(candidateLines),
      await stillsLine(),
      '',
      `Settings are looked for at ${defaultSettingsFile()}`,
      `The logbook is kept at ${defaultLogbookFile()}`,
      await cacheSentence(),
      '',
      usable
        ? 'Everything an audit needs is here.'
        : 'An audit cannot run: install ffmpeg with ffprobe through your system (Debian: apt-get install ffmpeg), or run npm install again without leaving out optional packages.',
    ],
  };
}

function candidateLines({ name, origin, path, age, chosen, lacks }: Candidate): string[] {
  const place = origin === 'system' ? 'of this system' : 'of the npm package';
  if (path === undefined || age === undefined) return [`${name} ${place}: ${lacks.join(', ')}`];
  const use = chosen ? 'in use' : 'not in use: the other one is newer or as new';
  const missing =
    lacks.length === 0 ? [] : [`  lacks ${lacks.join(', ')}: files that need it are said to be unreadable`];
  return [`${name} ${place}: ${age.version}, ${use}`, `  ${path}`, ...missing];
}

async function stillsLine(): Promise<string> {
  try {
    const { versions } = await pictureLibrary();
    return `stills: sharp ${versions.sharp}, ${await heicSentence()}`;
  } catch (error) {
    if (!(error instanceof HalfturnError)) throw error;
    return `stills: are read but not measured. ${error.message}. ${error.hint ?? ''}`;
  }
}

async function heicSentence(): Promise<string> {
  const version = await heifDecoderVersion();
  return version === undefined
    ? 'HEIC pictures are read but not measured: the optional package libheif-js is not installed'
    : `HEIC pictures by libheif ${version}`;
}
