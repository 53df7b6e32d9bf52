import type { Command } from 'commander';
import { HalfturnError } from '../../domain/halfturnError.ts';
import { heifDecoderVersion } from '../../measuring/heif/heifPixels.ts';
import { compareAge, locateAll, type Candidate } from '../../programs/locate.ts';
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
      ...candidates.flatMap((candidate) => candidateLines(candidate, candidates)),
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

function candidateLines(candidate: Candidate, all: readonly Candidate[]): string[] {
  const { name, origin, path, age, startMs = 0, lacks } = candidate;
  const place = origin === 'system' ? 'of this system' : 'of the npm package';
  if (path === undefined || age === undefined) return [`${name} ${place}: ${lacks.join(', ')}`];
  const start = `starts in ${Math.max(1, Math.round(startMs))} ms`;
  const missing =
    lacks.length === 0 ? [] : [`  lacks ${lacks.join(', ')}: files that need it are said to be unreadable`];
  return [`${name} ${place}: ${age.version}, ${start}, ${useOf(candidate, all)}`, `  ${path}`, ...missing];
}

function useOf({ name, age, chosen }: Candidate, all: readonly Candidate[]): string {
  if (chosen) return 'in use';
  const used = all.find((other) => other.name === name && other.chosen);
  const isNewer = age && used?.age && compareAge(age, used.age) > 0;
  return `not in use: the other one ${isNewer ? 'is new enough and starts faster' : 'is newer or as new'}`;
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
