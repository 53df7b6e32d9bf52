import { basename, dirname, resolve } from 'node:path';
import { Argument, type Command } from 'commander';
import { audit } from '../../audit/audit.ts';
import type { AuditOptions } from '../../audit/options.ts';
import { HalfturnError } from '../../domain/halfturnError.ts';
import { readDump } from '../../reading/dump.ts';
import { showRecording } from '../../report/showRecording.ts';
import { exitStatus } from '../exitStatus.ts';
import { fittedFromFlag, measureOption, noCacheOption, settingsOption, type CommandLine } from '../flags.ts';
import { cacheFolderFor, cacheTrouble } from '../outputs.ts';
import { loadSettings } from '../settings.ts';
import { outputStyle } from '../streams.ts';

interface ShowFlags {
  readonly fitted?: string;
  readonly settings?: string;
  readonly checkShutter?: boolean;
  readonly measure: 'off' | 'sampled' | 'every';
  readonly cache?: boolean;
}

export function addCommand(program: Command, { end }: CommandLine): void {
  program
    .command('show')
    .description('all that is known of one recording, where it was read, and how each number was found')
    .addArgument(new Argument('<file>', 'a clip or a still'))
    .option('--fitted <filter>', 'filter on the lens: a label of your kit, ND16, D1.2, or none')
    .addOption(settingsOption())
    .addOption(measureOption())
    .option('--check-shutter', 'hold the recorded shutter against the motion blur too')
    .addOption(noCacheOption())
    .addHelpText('after', '\nExample:\n  halfturn show DCIM/100AERO/CLIP0003.MP4')
    .action(async (file: string, flags: ShowFlags) => end(await runShow(file, flags)));
}

async function runShow(file: string, flags: ShowFlags): Promise<number> {
  const settings = await loadSettings(flags.settings);
  const fitted = fittedFromFlag(flags.fitted, settings.kit);
  const { entries } = await readDump(file);
  const isStill = entries.length === 1 && entries[0]!.kind === 'still';
  const group = isStill ? await groupOf(file, settings) : undefined;
  const document = await audit(file, {
    ...settings,
    memberOf: group?.kind,
    measure: flags.measure,
    checkShutter: flags.checkShutter,
    cacheFolder: await cacheFolderFor(file, flags.cache),
    onCacheUse: (how) => void process.stderr.write(cacheTrouble(how) ?? ''),
    fitted,
  });
  const [recording, another] = document.recordings;
  if (another !== undefined)
    throw new HalfturnError(
      `"${file}" holds more than one recording.`,
      'Name one file, or use "halfturn audit".',
    );
  if (recording === undefined) {
    const problem = document.problems[0];
    if (problem === undefined)
      throw new HalfturnError(`"${file}" is not a clip or still that Halfturn reads.`);
    const { path, message, hint, detail } = problem;
    throw new HalfturnError(`${path}: ${message}${detail === undefined ? '' : ` (${detail})`}`, hint);
  }
  const { settings: used, problems } = document;
  process.stdout.write(
    showRecording(recording, { ...outputStyle(process.stdout), settings: used, problems, group }),
  );
  return exitStatus.finished;
}

/** The bracket, flight or series that a still belongs to, by what the stills of its folder recorded. */
async function groupOf(file: string, settings: Pick<AuditOptions, 'limits' | 'kit'>) {
  const folder = dirname(resolve(file));
  const beside = await audit(folder, { ...settings, measure: 'off', only: 'still' }).catch(
    (error: unknown) => {
      // What is wrong with the folder is no matter of this file.
      if (!(error instanceof HalfturnError)) throw error;
      return undefined;
    },
  );
  return beside?.sequences.find(({ paths }) => paths.includes(basename(file)));
}
