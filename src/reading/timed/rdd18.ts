import { framesPerSecond, frameRateFromNumber, type FrameRate } from '../../domain/frameRate.ts';
import { mostFrequentFirst } from '../../domain/grouping.ts';
import type { FactName, FactValues, Refusal, TrackSample } from '../../domain/recording.ts';
import { exposureSecondsForAngle } from '../../domain/shutter.ts';
import type { ByteSource } from '../../containers/byteSource.ts';
import { klvPackets } from '../../containers/mxf.ts';
import { judgedNumbers, type JudgedNumbers } from '../recordedNumber.ts';
import { emptyReading, sighting, type Reading } from '../sighting.ts';
import type { TelemetryContext } from '../telemetryPairs.ts';
import { keepRefusals, trackReading } from './trackReading.ts';

/** The acquisition sets of one frame; frames without one are left out. */
interface FrameSet extends Acquisition {
  readonly frameIndex: number;
}

// Picture elements of the generic container (SMPTE ST 379-2): D-10, any other picture, picture and sound together.
const pictureKey = /^060e2b34010201010d010301(?:05|15|18)/;

// A file whose first frames carry no set carries none: the rest need not be walked.
const framesTried = 250;
// Half a dozen a frame: more than an hour; each costs some microseconds.
const maxPackets = 600_000;
const maxSetBytes = 65_536;

/** Reads SMPTE RDD 18 sets that stand in front of (or behind) each picture of an MXF file. */
export function parseRdd18(
  source: ByteSource,
  context: TelemetryContext & { readonly playbackFramesPerSecond?: number },
): Reading {
  const { frames, refusals } = frameSets(source, context.source);
  const rate = context.playbackFramesPerSecond;
  const unreadTrack = `parts of ${context.source}`;
  if (frames.length === 0)
    return { sightings: [], refusals, unreadTrack: refusals.length > 0 ? unreadTrack : undefined };
  const all = [...refusals];
  const samples = frames.flatMap((set): TrackSample[] => {
    const { facts, refusals: refused } = judged(set, context);
    keepRefusals(all, refused);
    if (rate === undefined || Object.keys(facts).length === 0) return [];
    return [{ startSeconds: set.frameIndex / rate, endSeconds: (set.frameIndex + 1) / rate, ...facts }];
  });
  if (rate === undefined) {
    const reason = 'cannot be placed in time, for the frame rate is not known';
    const raw = `sets of ${frames.length} frames`;
    all.push({ what: 'telemetry', raw, source: context.source, reason });
  }
  const clipWide = clipWideFacts(frames, context.source);
  const reading = trackReading(
    samples,
    [...all, ...clipWide.flatMap(({ refusals: others }) => others)],
    context,
  );
  const sightings = [...reading.sightings, ...clipWide.flatMap((each) => each.sightings)];
  return { ...reading, sightings, unreadTrack: rate === undefined ? unreadTrack : undefined };
}

function frameSets(source: ByteSource, label: string): { frames: FrameSet[]; refusals: Refusal[] } {
  const frames: FrameSet[] = [];
  let pictures = 0;
  let packets = 0;
  let behind = false;
  for (const { key, valueStart, valueBytes } of klvPackets(source)) {
    packets++;
    if (packets > maxPackets) {
      const reason = `more than ${maxPackets} parts; only the beginning was read`;
      return { frames, refusals: [{ what: 'telemetry', raw: 'MXF', source: label, reason }] };
    }
    if (pictureKey.test(key)) {
      pictures++;
      if (pictures >= framesTried && frames.length === 0) break;
    } else if (isAcquisitionSet(key) && valueBytes <= maxSetBytes) {
      // Where a picture came before the first set, sets stand behind the picture that they describe.
      behind ||= frames.length === 0 && pictures > 0;
      const frameIndex = behind ? pictures - 1 : pictures;
      const set = parseSet(source.read(valueStart, valueBytes));
      if (frames.at(-1)?.frameIndex === frameIndex) frames.push({ ...set, ...frames.pop()! });
      else frames.push({ frameIndex, ...set });
    }
  }
  return { frames, refusals: [] };
}

function judged(set: FrameSet, context: TelemetryContext): JudgedNumbers {
  const { iso, recordedFilterStops } = set;
  const exposureSeconds = exposureOf(set, context.framesPerSecond);
  // One step of the stored number is 0.00008 of the f-number: digits beyond the fourth are not the lens's.
  const fNumber = set.fNumber && Number(set.fNumber.toPrecision(4));
  return judgedNumbers({ exposureSeconds, fNumber, iso, recordedFilterStops }, context.source);
}

function clipWideFacts(frames: readonly FrameSet[], source: string): readonly Reading[] {
  const kelvins = frames.flatMap(({ whiteBalanceKelvin }) => whiteBalanceKelvin ?? []);
  const rates = frames.flatMap((set) => set.captureRate ?? []);
  const filters = frames.flatMap((set) => set.recordedFilterStops ?? []);
  return [
    lasting('recordedFilterStops', filters, source, 'ND wheel'),
    lasting(
      'whiteBalance',
      kelvins.map((kelvin) => `${kelvin} K`),
      source,
      'white balance',
    ),
    lasting('frameRate', rates, source, 'capture rate'),
  ];
}

// A wheel that turns through its positions is said; a dozen of them are said no better than three.
const mostOthers = 3;

/** What is set once and holds: the value that most frames have, and why the next ones are not believed of the clip. */
function lasting<N extends FactName>(
  fact: N,
  values: readonly FactValues[N][],
  source: string,
  label: string,
): Reading {
  const text = (value: FactValues[N]) => String(typeof value === 'object' ? framesPerSecond(value) : value);
  const [most, ...others] = mostFrequentFirst(values.map(text));
  const value = values.find((each) => text(each) === most?.[0]);
  if (most === undefined || value === undefined) return emptyReading;
  const reason = `is not what most frames have: ${most[0]}`;
  return {
    sightings: [sighting(fact, value, 'timed-track', `${source}, ${label}`)],
    refusals: others.slice(0, mostOthers).map(([other, count]) => ({
      what: fact,
      raw: `${other} in ${count} of ${values.length} frames`,
      reason,
      source,
    })),
  };
}

// SMPTE RDD 18, "Acquisition Metadata Sets of Video Camera Parameters". A set is a row of items: two bytes of tag, two
// of length, the value. The item codes were looked up in an open parser and verified on a made file.

/** What the sets say that Halfturn uses; absent where an item is missing, or holds what cannot be. */
interface Acquisition {
  readonly fNumber?: number;
  readonly iso?: number;
  readonly exposureSeconds?: number;
  readonly shutterAngleDegrees?: number;
  readonly captureRate?: FrameRate;
  readonly recordedFilterStops?: number;
  readonly whiteBalanceKelvin?: number;
}

// The byte behind tells the kind of set: lens, camera, a maker's own.
const setKeyStart = '060e2b34025301010c020101';
const setKinds = new Set(['01', '02', '7f']);

/** Whether a packet of an MXF file holds such a set; `key` is 32 lower-case hex digits. */
function isAcquisitionSet(key: string): boolean {
  return key.startsWith(setKeyStart) && setKinds.has(key.slice(setKeyStart.length, setKeyStart.length + 2));
}

type ItemReader = (value: Buffer) => Acquisition;

const uint16 = (value: Buffer): number => (value.length === 2 ? value.readUInt16BE(0) : Number.NaN);

function ratio(value: Buffer): number {
  return value.length === 8 ? value.readInt32BE(0) / value.readInt32BE(4) : Number.NaN;
}

function positive<N extends keyof Acquisition>(name: N, value: number): Acquisition {
  return Number.isFinite(value) && value > 0 ? { [name]: value } : {};
}

const items: ReadonlyMap<number, ItemReader> = new Map<number, ItemReader>([
  // 2^(8 (1 - v / 65536)); 0 would be f/256, which no lens has.
  [
    0x8000,
    (value) => (uint16(value) > 0 ? positive('fNumber', 2 ** (8 * (1 - uint16(value) / 65_536))) : {}),
  ],
  [0x8103, filterWheel],
  [0x8106, captureRate],
  [0x8108, (value) => positive('shutterAngleDegrees', angle(value))],
  [0x8109, (value) => positive('exposureSeconds', ratio(value))],
  [0x810b, (value) => positive('iso', uint16(value))],
  [0x810e, (value) => positive('whiteBalanceKelvin', uint16(value))],
]);

/** The wheel passes one part in v of the light; 1 is the clear position. */
function filterWheel(value: Buffer): Acquisition {
  const factor = uint16(value);
  return factor >= 1 ? { recordedFilterStops: Math.log2(factor) } : {};
}

function captureRate(value: Buffer): Acquisition {
  const rate = frameRateFromNumber(ratio(value));
  return rate === undefined ? {} : { captureRate: rate };
}

const sixtiethsOfTurn = 360 * 60;

function angle(value: Buffer): number {
  const sixtieths = value.length === 4 ? value.readUInt32BE(0) : Number.NaN;
  return sixtieths <= sixtiethsOfTurn ? sixtieths / 60 : Number.NaN;
}

function parseSet(set: Buffer): Acquisition {
  let acquisition: Acquisition = {};
  for (let at = 0; at + 4 <= set.length;) {
    const end = at + 4 + set.readUInt16BE(at + 2);
    if (end > set.length) break;
    const read = items.get(set.readUInt16BE(at));
    if (read !== undefined) acquisition = { ...read(set.subarray(at + 4, end)), ...acquisition };
    at = end;
  }
  return acquisition;
}

/** The exposure time that a set states, outright or by its angle against the rate at which the pictures were taken. */
function exposureOf(set: Acquisition, clipFramesPerSecond: number | undefined): number | undefined {
  if (set.exposureSeconds !== undefined || set.shutterAngleDegrees === undefined) return set.exposureSeconds;
  const rate = set.captureRate === undefined ? clipFramesPerSecond : framesPerSecond(set.captureRate);
  if (rate === undefined) return undefined;
  return exposureSecondsForAngle({ angleDegrees: set.shutterAngleDegrees, framesPerSecond: rate });
}
