import { stopsFromRatio } from '../domain/exposure.ts';
import { sameRate } from '../domain/frameRate.ts';
import { groupedBy } from '../domain/grouping.ts';
import type {
  Fact,
  FactName,
  Facts,
  FactValues,
  Recording,
  Refusal,
  Sighting,
  Track,
} from '../domain/recording.ts';
import { compareText } from './fileNames.ts';
import { hasOffset, momentMs } from './recordedTime.ts';
import type { Carrier, FactSighting, Reading } from './sighting.ts';
import { zoneByContainer } from './timeZone.ts';

/** Puts readings of one recording together. Their order makes no difference. */
export function mergeReadings(
  readings: readonly Reading[],
): Pick<Recording, 'facts' | 'track' | 'refusals' | 'unreadTracks'> {
  const tracks = readings.map(({ track }) => track).filter((track) => track !== undefined);
  const track = tracks.sort(compareTracks)[0];
  const sightings = readings.flatMap((reading) =>
    track !== undefined && reading.track === track ? reading.sightings.map(ofChosenTrack) : reading.sightings,
  );
  const zoned = zoneByContainer(sightings);
  const unreadTracks = new Set(readings.flatMap(({ unreadTrack }) => unreadTrack ?? []));
  return {
    facts: mergeFacts(zoned.sightings),
    track,
    refusals: [...readings.flatMap(({ refusals }) => refusals), ...zoned.refusals].sort(compareRefusals),
    unreadTracks: unreadTracks.size === 0 ? undefined : [...unreadTracks].sort(compareText),
  };
}

function ofChosenTrack(sighting: FactSighting): FactSighting {
  return { ...sighting, ofChosenTrack: true };
}

/** The track that tells most about the exposure stands first. */
function compareTracks(a: Track, b: Track): number {
  const exposed = ({ samples }: Track): number =>
    samples.filter(({ exposureSeconds }) => exposureSeconds !== undefined).length;
  return exposed(b) - exposed(a) || b.samples.length - a.samples.length || compareText(a.source, b.source);
}

function compareRefusals(a: Refusal, b: Refusal): number {
  const key = ({ source, what, raw, reason }: Refusal): string => [source, what, raw, reason].join('\0');
  return compareText(key(a), key(b));
}

/** One fact for each name that was sighted; what disagrees with it beyond rounding is kept beside it. */
function mergeFacts(sightings: readonly FactSighting[]): Facts {
  const facts = [...groupedBy(sightings, ({ fact }) => fact)]
    .sort(([a], [b]) => compareText(a, b))
    .map(([name, all]) => [name, merge(name, all)]);
  return Object.fromEntries(facts) as Facts;
}

function merge<N extends FactName>(name: N, sightings: readonly FactSighting[]): Fact<FactValues[N]> {
  const [first, ...others] = sightings
    .toSorted(comparePrecedence)
    .map(({ value, source, zoneWorkedOut }) => ({ value, source, zoneWorkedOut }) as Sighting<FactValues[N]>);
  const disagreeing = others
    .filter(({ value }) => !agree(name, first!.value, value))
    .filter(isFirstOfItsKind);
  return disagreeing.length === 0 ? first! : { ...first!, others: disagreeing };
}

function isFirstOfItsKind<T>(sighting: T, at: number, all: readonly T[]): boolean {
  return all.findIndex((other) => JSON.stringify(other) === JSON.stringify(sighting)) === at;
}

// Which source is believed where several speak. Telemetry over time is written while the picture is taken; EXIF is
// written with the file; XMP can be added or changed afterwards by any program, and a sidecar can belong to another
// file of the same name. What the picture stream says of itself (its size, its coding, its rate) is what a player
// obeys, so there it comes first; a capture rate stands in a container tag or in telemetry and replaces the stream's.
// Of several timed tracks, the one that was chosen for the time line speaks for the clip as well.
const byTrust: readonly Carrier[] = [
  'timed-track',
  'exif',
  'xmp-embedded',
  'xmp-sidecar',
  'container-tag',
  'stream',
];
const streamFirst: readonly Carrier[] = ['stream', 'container-tag', ...byTrust];
const tagFirst: readonly Carrier[] = ['container-tag', 'timed-track', 'stream', ...byTrust];

const ofStream: ReadonlySet<FactName> = new Set<FactName>([
  'playbackFrameRate',
  'durationSeconds',
  'frameCount',
  'width',
  'height',
  'rotationDegrees',
  'transfer',
  'range',
  'bitDepth',
  'codec',
  'startTimecode',
  'scan',
]);

function orderOfTrust(fact: FactName): readonly Carrier[] {
  if (fact === 'frameRate') return tagFirst;
  return ofStream.has(fact) ? streamFirst : byTrust;
}

/** Sorts sightings of one fact, the most trusted first; equal trust is ordered by source, then by value. */
function comparePrecedence(a: FactSighting, b: FactSighting): number {
  const order = orderOfTrust(a.fact);
  return (
    order.indexOf(a.carrier) - order.indexOf(b.carrier) ||
    Number(b.ofChosenTrack ?? false) - Number(a.ofChosenTrack ?? false) ||
    compareText(a.source, b.source) ||
    compareText(JSON.stringify(a.value), JSON.stringify(b.value))
  );
}

// Nominal exposure times and f-numbers (1/60, f/5.6) are up to 0.1 stop from the exact ones they stand for.
const nominalStops = 0.1;
// Degrees; about eleven metres, less than a position from a single fix is worth.
const sameDegrees = 1e-4;
// Headings are written in whole degrees or in fractions of one.
const wholeDegrees = 0.5;
const roundingRatio = 1e-3;

/** By how much numbers of one fact may differ; of the others, by a part of themselves. */
const tolerances: { readonly [N in FactName]?: number } = {
  exposureBiasStops: nominalStops,
  meteredOffsetStops: nominalStops,
  evAsReadStops: nominalStops,
  latitude: sameDegrees,
  longitude: sameDegrees,
  altitudeMetres: 1,
  heightOverStartMetres: 1,
  groundSpeedMetresPerSecond: 1,
  headingDegrees: wholeDegrees,
  cameraPitchDegrees: wholeDegrees,
};
const directions: ReadonlySet<FactName> = new Set(['longitude', 'headingDegrees', 'cameraPitchDegrees']);

/** Whether two values of one fact say the same thing, but for how they were rounded. */
function agree<N extends FactName>(fact: N, a: FactValues[N], b: FactValues[N]): boolean {
  if (typeof a === 'string' && typeof b === 'string')
    return a === b || (fact === 'recordedAt' && sameMoment(a, b));
  if (typeof a === 'object' && typeof b === 'object') return sameRate(a, b);
  const [x, y] = [Number(a), Number(b)];
  if (fact === 'exposureSeconds') return Math.abs(stopsFromRatio(x / y)) <= nominalStops;
  if (fact === 'fNumber') return Math.abs(2 * stopsFromRatio(x / y)) <= nominalStops;
  const tolerance = tolerances[fact] ?? roundingRatio * Math.max(Math.abs(x), Math.abs(y));
  return (directions.has(fact) ? turnedDegrees(x, y) : Math.abs(x - y)) <= tolerance;
}

/** How far apart two directions are; a whole turn is none. */
function turnedDegrees(a: number, b: number): number {
  return Math.abs(((a - b + 540) % 360) - 180);
}

function sameMoment(a: string, b: string): boolean {
  // Where one side has no offset, only the wall clocks can be compared.
  const [x, y] = hasOffset(a) && hasOffset(b) ? [a, b] : [wallClock(a), wallClock(b)];
  // Two seconds: container times are whole seconds and may be those of the end of a write.
  return Math.abs(momentMs(x) - momentMs(y)) <= 2000;
}

function wallClock(time: string): string {
  return time.replace(/(?:Z|[+-]\d\d:\d\d)$/, '');
}
