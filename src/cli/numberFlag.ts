import { displayText } from '../domain/displayText.ts';
import { HalfturnError } from '../domain/halfturnError.ts';

/** A number behind a flag, between two ends that both belong to it. */
export function numberFlag(
  flag: string,
  text: string,
  { least, most }: { readonly least: number; readonly most: number },
): number {
  const value = Number(text);
  if (text.trim() !== '' && value >= least && value <= most) return value;
  throw new HalfturnError(
    `${flag} must be a number from ${least} to ${most}, but is "${displayText(text)}".`,
  );
}

/** Latitude and longitude, both or neither. */
export function positionFlags(flags: {
  readonly latitude?: string;
  readonly longitude?: string;
}): { readonly latitude: number; readonly longitude: number } | undefined {
  const { latitude, longitude } = flags;
  if (latitude === undefined && longitude === undefined) return undefined;
  if (latitude === undefined || longitude === undefined)
    throw new HalfturnError('--latitude and --longitude must be given together.');
  return {
    latitude: numberFlag('--latitude', latitude, { least: -90, most: 90 }),
    longitude: numberFlag('--longitude', longitude, { least: -180, most: 180 }),
  };
}
