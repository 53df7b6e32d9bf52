import { z } from 'zod';
import { commonKit } from '../advice/commonKit.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import { defaultLimits } from '../domain/limits.ts';
import { parseTomlAs } from '../reading/toml.ts';
import { filterSchema, kitOf } from './kitSettings.ts';
import type { Settings } from './settings.ts';

const settingsSchema = z.strictObject({
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
      ...(given.camera?.longestExposureSeconds === undefined
        ? {}
        : { longestExposureSeconds: given.camera.longestExposureSeconds }),
      ...(given.exposure?.secondBaseIso === undefined ? {} : { secondBaseIso: given.exposure.secondBaseIso }),
      ...(given.mains?.hertz === undefined ? {} : { mainsHertz: given.mains.hertz }),
    },
    kit: kit.length === 0 ? commonKit : kit,
    kitAssumed: kit.length === 0,
  };
}
