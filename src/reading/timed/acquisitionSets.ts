import { frameRateFromNumber, framesPerSecond, type FrameRate } from '../../domain/frameRate.ts';
import { exposureSecondsForAngle } from '../../domain/shutter.ts';

// SMPTE RDD 18, "Acquisition Metadata Sets of Video Camera Parameters". A set is a row of items: two bytes of tag, two
// of length, the value. The item codes were looked up in an open parser and verified on a made file.

/** What the sets say that Halfturn uses; absent where an item is missing, or holds what cannot be. */
export interface Acquisition {
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
export function isAcquisitionSet(key: string): boolean {
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

/** Reads the items of one set, as far as they are whole. */
export function parseAcquisitionSet(set: Buffer): Acquisition {
  let found: Acquisition = {};
  for (let at = 0; at + 4 <= set.length;) {
    const end = at + 4 + set.readUInt16BE(at + 2);
    if (end > set.length) break;
    const read = items.get(set.readUInt16BE(at));
    if (read !== undefined) found = { ...read(set.subarray(at + 4, end)), ...found };
    at = end;
  }
  return found;
}

/** The exposure time that a set states, outright or by its angle against the rate at which the pictures were taken. */
export function exposureOf(set: Acquisition, clipFramesPerSecond: number | undefined): number | undefined {
  if (set.exposureSeconds !== undefined || set.shutterAngleDegrees === undefined) return set.exposureSeconds;
  const rate = set.captureRate === undefined ? clipFramesPerSecond : framesPerSecond(set.captureRate);
  if (rate === undefined) return undefined;
  return exposureSecondsForAngle({ angleDegrees: set.shutterAngleDegrees, framesPerSecond: rate });
}
