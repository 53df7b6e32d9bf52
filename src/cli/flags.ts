import type { CardPlaces } from './cards/search.ts';
import { fileURLToPath } from 'node:url';
import { Option } from 'commander';
import { skies } from '../domain/daylight.ts';
import { displayText } from '../domain/displayText.ts';
import { parseFilterName } from '../domain/filter.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import { namedZone, zoneWish } from '../reading/timeZone.ts';
import { ownedFilter, type FittedFilter, type KitFilter } from '../domain/filterKit.ts';

/** What a command needs of the program around it. */
export interface CommandLine {
  /** Takes the exit status of a command that finished. */
  readonly end: (status: number) => void;
  /** Where a card is looked for when no folder is named. */
  readonly cardPlaces: CardPlaces;
}

/** Two ends that both belong to what is allowed. */
interface Bounds {
  readonly least: number;
  readonly most: number;
}

export function numberFlag(flag: string, text: string, { least, most }: Bounds): number {
  const value = Number(text);
  if (text.trim() !== '' && value >= least && value <= most) return value;
  throw new HalfturnError(
    `${flag} must be a number from ${least} to ${most}, but is "${displayText(text)}".`,
  );
}

/** An argument with the path that an address stands for: file managers hand out `file:///media/card`. */
export function withPlainPath(argument: string): string {
  const [, flag = '', address] = /^(--[\w-]+=)?(file:\/\/.*)$/i.exec(argument) ?? [];
  if (address === undefined) return argument;
  try {
    return flag + fileURLToPath(address);
  } catch {
    throw new HalfturnError(
      `"${displayText(address)}" is no address of a file on this computer.`,
      'Name its path, such as /media/card.',
    );
  }
}

export function numberOption(flags: string, description: string, bounds: Bounds): Option {
  const [flag = ''] = flags.split(' ');
  return new Option(flags, description).argParser((text: string) => numberFlag(flag, text, bounds));
}

/** Latitude and longitude, both or neither. */
export function positionFlags(flags: { readonly latitude?: string; readonly longitude?: string }) {
  const { latitude, longitude } = flags;
  if (latitude === undefined && longitude === undefined) return undefined;
  if (latitude === undefined || longitude === undefined)
    throw new HalfturnError('--latitude and --longitude must be given together.');
  return {
    latitude: numberFlag('--latitude', latitude, { least: -90, most: 90 }),
    longitude: numberFlag('--longitude', longitude, { least: -180, most: 180 }),
  };
}

/**
 * Reads `--fitted`: a label of the kit first (a variable filter as `label@stops`), then a trade name such as ND16 or a
 * density such as D1.2, or `none`.
 */
export function fittedFromFlag(
  text: string | undefined,
  kit: readonly KitFilter[],
): FittedFilter | undefined {
  if (text === undefined) return undefined;
  const source = '--fitted';
  if (text.toLowerCase() === 'none') return { label: 'none', stops: 0, source };
  const owned = ownedFilter(text, kit);
  if (owned !== undefined && 'uncountable' in owned)
    throw new HalfturnError(`"${text}" cannot be counted: ${owned.uncountable}.`);
  const filter = owned ?? parseFilterName(text);
  if (filter !== undefined) return { ...filter, source };
  const labels = kit.map(({ label }) => label).join(', ');
  throw new HalfturnError(
    `"${text}" is no filter that Halfturn knows.`,
    `Use a label of your kit (${labels}), a factor such as ND16, a density such as D1.2, or none.`,
  );
}

// Options that several commands have.

export const zoneOption = () =>
  new Option('--zone <zone>', 'time zone of clocks that recorded none, such as Europe/Berlin').argParser(
    (name: string) => {
      const zone = namedZone(name);
      if (zone !== undefined) return zone;
      throw new HalfturnError(`--zone ${zoneWish}, but is "${displayText(name)}".`);
    },
  );

export const measureOption = () =>
  new Option('--measure <how-much>', 'how many pictures to look at')
    .choices(['off', 'sampled', 'every'])
    .default('sampled');
export const noCacheOption = () => new Option('--no-cache', 'measure everything anew and remember nothing');
export const settingsOption = () =>
  new Option('--settings <file>', 'settings (default: settings.toml in your configuration folder)');
export const logbookOption = () => new Option('--logbook <file>', 'logbook (default: in your data folder)');
export const skyOption = () => new Option('--sky <sky>', 'what the sky was or will be').choices(skies);
