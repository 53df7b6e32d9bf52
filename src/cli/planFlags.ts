import type { Sky } from '../domain/daylight.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import { exposureSecondsForAngle } from '../domain/shutter.ts';
import type { LightDirection } from '../domain/sun.ts';
import type { ExposureWanted } from '../logbook/landing.ts';
import type { Habits } from '../logbook/readHabits.ts';
import { numberFlag } from './numberFlag.ts';

export interface PlanFlags {
  readonly at?: string;
  readonly for: string;
  readonly place?: string;
  readonly latitude?: string;
  readonly longitude?: string;
  readonly sky?: Sky;
  readonly fps?: string;
  readonly interval?: string;
  readonly exposure?: string;
  readonly direction?: LightDirection;
  readonly heading?: string;
  readonly camera?: string;
  readonly fNumber?: string;
  readonly iso?: string;
  readonly card?: string;
  readonly json?: boolean;
  readonly settings?: string;
  readonly logbook?: string;
}

const usualRates = [24, 30, 60];
const mostRates = 4;

/** The aperture that was named, else the one that the logbook's clips mostly had. */
export function apertureOf(flag: string | undefined, habits: Habits): number {
  if (flag !== undefined) return numberFlag('--f-number', flag, { least: 0.5, most: 64 });
  if (habits.fNumber !== undefined) return habits.fNumber;
  throw new HalfturnError(
    'The aperture is not known: the logbook holds no clip that recorded one.',
    'Say it with --f-number, such as --f-number 2.8.',
  );
}

export function isoOf(flag: string | undefined, baseIso: number): number {
  return flag === undefined ? baseIso : numberFlag('--iso', flag, { least: 1, most: 1e6 });
}

export function headingOf(flag: string | undefined): number | undefined {
  return flag === undefined ? undefined : numberFlag('--heading', flag, { least: 0, most: 360 });
}

/** Video at the rates that were named, else at the usual ones unless long exposures are wanted; and those. */
export function wantedExposures(
  { fps, interval, exposure }: PlanFlags,
  { framesPerSecond: habits }: Habits,
  angleDegrees: number,
): readonly ExposureWanted[] {
  const long = longExposures(interval, exposure, angleDegrees);
  const rates =
    fps?.split(',').map((rate) => numberFlag('--fps', rate, { least: 1, most: 1000 })) ??
    (long.length > 0 ? [] : habits.length > 0 ? habits.slice(0, mostRates) : usualRates);
  return [
    ...rates.map((framesPerSecond) => ({
      framesPerSecond,
      targetSeconds: exposureSecondsForAngle({ angleDegrees, framesPerSecond }),
    })),
    ...long,
  ];
}

function longExposures(
  interval: string | undefined,
  exposure: string | undefined,
  angleDegrees: number,
): readonly ExposureWanted[] {
  const seconds = (flag: string, text: string) => numberFlag(flag, text, { least: 0.01, most: 3600 });
  const intervalSeconds = interval === undefined ? undefined : seconds('--interval', interval);
  if (exposure !== undefined)
    return [
      {
        targetSeconds: seconds('--exposure', exposure),
        intervalSeconds,
      },
    ];
  if (intervalSeconds === undefined) return [];
  return [{ intervalSeconds, targetSeconds: (intervalSeconds * angleDegrees) / 360 }];
}
