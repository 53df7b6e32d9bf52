import { mkdir, readFile, realpath } from 'node:fs/promises';
import path from 'node:path';
import envPaths from 'env-paths';
import { z } from 'zod';
import { displayText } from '../domain/displayText.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import { commonKit, type KitFilter } from '../domain/filterKit.ts';
import { defaultLimits, type Limits } from '../domain/limits.ts';
import type { ZoneOffsetAt } from '../domain/localTime.ts';
import { zoneSchema } from '../reading/loadFlightNotes.ts';
import { namedZone } from '../reading/timeZone.ts';
import { fileTrouble } from '../programs/fileTrouble.ts';
import { parseTomlAs } from '../reading/toml.ts';
import { filterSchema, kitOf } from './kitSettings.ts';
import { writeWhole } from './outputs.ts';

interface Settings {
  readonly limits: Limits;
  readonly kit: readonly KitFilter[];
  /** The pilot named no filters, so common strengths stand in. */
  readonly kitAssumed: boolean;
  /** Where the pilot usually flies: zone of clocks that recorded none. */
  readonly usualZone?: ZoneOffsetAt;
}

export function defaultSettingsFile(): string {
  return path.join(envPaths('halfturn', { suffix: '' }).config, 'settings.toml');
}

/** The settings of a file; of the usual one, if there is none, what holds without. */
export async function loadSettings(file: string | undefined): Promise<Settings> {
  const named = file ?? defaultSettingsFile();
  const text = await readFile(named, 'utf8').catch((error: NodeJS.ErrnoException) => {
    if (file === undefined && error.code === 'ENOENT') return undefined;
    throw new HalfturnError(
      `The settings file "${named}" could not be read: ${fileTrouble(error)}.`,
      'Check the path after --settings.',
    );
  });
  if (text === undefined) return { limits: defaultLimits, kit: commonKit, kitAssumed: true };
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

const settingsSchema = z.strictObject({
  zone: zoneSchema.optional(),
  shutter: z
    .strictObject({
      angleDegrees: z.number().gt(0).max(360).optional(),
      toleranceStops: z.number().gt(0).max(3).optional(),
    })
    .optional(),
  exposure: z
    .strictObject({
      baseIso: z.number().min(1).max(1e6).optional(),
      windowStops: z.tuple([z.number().min(-6).max(6), z.number().min(-6).max(6)]).optional(),
      secondBaseIso: z.number().min(1).max(1e6).optional(),
      holdChance: z.number().min(0.5).max(0.95).optional(),
    })
    .optional(),
  mains: z.strictObject({ hertz: z.union([z.literal(50), z.literal(60)]).optional() }).optional(),
  filter: z.array(filterSchema).optional(),
  camera: z.strictObject({ longestExposureSeconds: z.number().gt(0).max(3600).optional() }).optional(),
});

/** Reads settings; an unknown key or bad value is an error that names the file, the key and what is allowed. */
export function parseSettings(text: string, file: string): Settings {
  const given = parseTomlAs(settingsSchema, text, file);
  const windowStops = given.exposure?.windowStops ?? defaultLimits.windowStops;
  if (windowStops[0] >= windowStops[1])
    throw new HalfturnError(
      `${file}: exposure.windowStops must rise from low to high, but is [${windowStops.join(', ')}].`,
      'Write it like windowStops = [-0.7, 0].',
    );
  const kit = kitOf(given.filter ?? [], file);
  return {
    limits: {
      ...defaultLimits,
      shutterAngleDegrees: given.shutter?.angleDegrees ?? defaultLimits.shutterAngleDegrees,
      shutterToleranceStops: given.shutter?.toleranceStops ?? defaultLimits.shutterToleranceStops,
      baseIso: given.exposure?.baseIso ?? defaultLimits.baseIso,
      windowStops,
      holdChance: given.exposure?.holdChance ?? defaultLimits.holdChance,
      longestExposureSeconds: given.camera?.longestExposureSeconds,
      secondBaseIso: given.exposure?.secondBaseIso,
      mainsHertz: given.mains?.hertz,
    },
    kit: kit.length === 0 ? commonKit : kit,
    kitAssumed: kit.length === 0,
    usualZone: given.zone === undefined ? undefined : namedZone(given.zone),
  };
}

/** Writes settings whole or not at all. What would not be read again is never written. */
export async function storeSettings(file: string, text: string): Promise<void> {
  parseSettings(text, file);
  try {
    await mkdir(path.dirname(file), { recursive: true });
    await writeWhole(await realpath(file).catch(() => file), text);
  } catch (error) {
    throw new HalfturnError(
      `The settings file "${file}" could not be written: ${fileTrouble(error as Error, 'write')}.`,
      'Name another one with --settings.',
    );
  }
}
