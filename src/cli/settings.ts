import { readFile } from 'node:fs/promises';
import path from 'node:path';
import envPaths from 'env-paths';
import { commonKit } from '../advice/commonKit.ts';
import { displayText } from '../domain/displayText.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import type { KitFilter } from '../domain/kit.ts';
import { defaultLimits, type Limits } from '../domain/limits.ts';

export interface Settings {
  readonly limits: Limits;
  readonly kit: readonly KitFilter[];
  /** The pilot named no filters, so common strengths stand in. */
  readonly kitAssumed: boolean;
}

/** Where settings are looked for when `--settings` names no file. */
export function defaultSettingsFile(): string {
  return path.join(envPaths('halfturn', { suffix: '' }).config, 'settings.toml');
}

/** The settings of a file; of the usual one, if there is none, what holds without. */
export async function loadSettings(file: string | undefined): Promise<Settings> {
  const named = file ?? defaultSettingsFile();
  const text = await readFile(named, 'utf8').catch((error: NodeJS.ErrnoException) => {
    if (file === undefined && error.code === 'ENOENT') return undefined;
    throw new HalfturnError(
      `The settings file "${named}" could not be read: ${error.message}.`,
      'Check the path after --settings.',
    );
  });
  if (text === undefined) return { limits: defaultLimits, kit: commonKit, kitAssumed: true };
  // The schema library takes longer to load than all else of a command's start.
  const { parseSettings } = await import('./parseSettings.ts');
  return parseSettings(text, named);
}

/** `--shutter-angle` wins over the settings. */
export function settingsWithAngle(settings: Settings, flag: string | undefined): Settings {
  if (flag === undefined) return settings;
  const shutterAngleDegrees = Number(flag);
  if (!(shutterAngleDegrees > 0 && shutterAngleDegrees <= 360))
    throw new HalfturnError(
      `--shutter-angle must be above 0 and at most 360 degrees, but is "${displayText(flag)}".`,
    );
  return { ...settings, limits: { ...settings.limits, shutterAngleDegrees } };
}
