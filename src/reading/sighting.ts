import type { FactName, FactValues, Problem, Refusal, Track } from '../domain/recording.ts';

/** What kind of place a value was read from. The order of trust between them stands in mergeReadings.ts. */
export type Carrier = 'timed-track' | 'exif' | 'xmp-embedded' | 'xmp-sidecar' | 'container-tag' | 'stream';

/** One fact as one reader saw it. `source` is for people: "EXIF ExposureTime", "SubRip sidecar CLIP0003.SRT". */
export type FactSighting = {
  [N in FactName]: {
    readonly fact: N;
    readonly value: FactValues[N];
    readonly carrier: Carrier;
    readonly source: string;
    readonly zoneWorkedOut?: true;
    /** Set on what the chosen one of several timed tracks says. */
    readonly ofChosenTrack?: true;
  };
}[FactName];

/** Everything that one reader found in one file. */
export interface Reading {
  readonly sightings: readonly FactSighting[];
  readonly refusals: readonly Refusal[];
  readonly track?: Track;
  /** What says that another program than the camera's wrote the file. */
  readonly writtenBy?: string;
  /** What is there and could not be read, or not whole: "a data track (abcd)". */
  readonly unreadTrack?: string;
}

/** What is wrong with a file; where it lies is added by who walked there. */
export type Trouble = Omit<Problem, 'path'>;

/** Everything that a clip or still says of itself, and what is wrong with it. */
export interface OwnReadings {
  /** Empty where nothing could be read; then there is a problem. */
  readonly readings: readonly Reading[];
  readonly problem?: Trouble;
}

export function sighting<N extends FactName>(
  fact: N,
  value: FactValues[N],
  carrier: Carrier,
  source: string,
): FactSighting {
  return { fact, value, carrier, source } as FactSighting;
}

export function optionalSighting<N extends FactName>(
  fact: N,
  value: FactValues[N] | undefined,
  carrier: Carrier,
  source: string,
): FactSighting[] {
  return value === undefined ? [] : [sighting(fact, value, carrier, source)];
}

export const emptyReading: Reading = { sightings: [], refusals: [] };

export function combinedReadings(readings: readonly Reading[]): Reading {
  return {
    sightings: readings.flatMap(({ sightings }) => sightings),
    refusals: readings.flatMap(({ refusals }) => refusals),
  };
}

export function sightedValue<N extends FactName>(
  sightings: readonly FactSighting[],
  fact: N,
): FactValues[N] | undefined {
  return sightings.find((sighted) => sighted.fact === fact)?.value as FactValues[N] | undefined;
}

// What refusals of a text that was read in part are about.
const partlyReadTexts: ReadonlySet<string> = new Set(['sidecar', 'text track']);

/** Whether a text may hold more than what was read of it: nothing in it was understood, or not all of it was looked at. */
export function mayHoldMore({ sightings, track, refusals }: Reading): boolean {
  const saysNothing = sightings.length === 0 && track === undefined;
  return saysNothing || refusals.some(({ what }) => partlyReadTexts.has(what));
}
