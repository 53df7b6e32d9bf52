import type { Refusal, TrackSample } from '../../domain/recording.ts';
import { berLength } from '../../containers/mxf.ts';
import { judgedNumbers, type JudgedNumbers } from '../recordedNumber.ts';
import type { Reading } from '../sighting.ts';
import type { TelemetryContext } from '../telemetryPairs.ts';
import { heldUntilNext, trackReading, type TimedBytes } from './trackReading.ts';

// MISB ST 0601 sets: a key, a length, then items of tag, length and value. Only the position is read: tag 13 latitude,
// 14 longitude (a 32-bit number over the whole range, its least value for an error), 15 altitude (16 bits from -900 m
// to 19,000 m), 1 the checksum, which stands last. No exposure time is among the standard's items.
const setKey = Buffer.from('060e2b34020b01010e01030101000000', 'hex');
const tags = { checksum: 1, latitude: 13, longitude: 14, altitude: 15 } as const;
const errorValue = -0x8000_0000;
const altitudeLow = -900;
const altitudeSpan = 19_900;

/** The position in one packet, or why its set is not believed; neither where it holds none. */
function parseSet(packet: Buffer): {
  readonly facts: JudgedNumbers['facts'];
  readonly reason?: string;
} {
  const start = packet.indexOf(setKey);
  if (start < 0) return { facts: {} };
  const length = berLength(packet.subarray(start + setKey.length));
  if (length === undefined) return { facts: {} };
  const bodyStart = start + setKey.length + length.fieldBytes;
  const end = bodyStart + length.value;
  if (end > packet.length) return { facts: {}, reason: 'is cut short' };
  const items = itemsOf(packet.subarray(bodyStart, end));
  const sum = items.get(tags.checksum);
  if (sum?.length === 2 && sum.readUInt16BE(0) !== checksum(packet.subarray(start, end - 2)))
    return { facts: {}, reason: 'does not match its checksum' };
  return { facts: position(items) };
}

function itemsOf(body: Buffer): ReadonlyMap<number, Buffer> {
  const items = new Map<number, Buffer>();
  for (let at = 0; at + 2 <= body.length;) {
    const length = berLength(body.subarray(at + 1));
    if (length === undefined) break;
    const valueStart = at + 1 + length.fieldBytes;
    const end = valueStart + length.value;
    if (end > body.length) break;
    items.set(body[at]!, body.subarray(valueStart, end));
    at = end;
  }
  return items;
}

/** The sum of the set as 16-bit numbers, up to the checksum's own value. */
function checksum(covered: Buffer): number {
  let sum = 0;
  for (const [at, byte] of covered.entries()) sum = (sum + (at % 2 === 0 ? byte << 8 : byte)) & 0xffff;
  return sum;
}

function position(items: ReadonlyMap<number, Buffer>): JudgedNumbers['facts'] {
  const angle = (tag: number, halfRange: number): number | undefined => {
    const value = items.get(tag);
    const stored = value?.length === 4 ? value.readInt32BE(0) : errorValue;
    return stored === errorValue ? undefined : (stored / 0x7fff_ffff) * halfRange;
  };
  const latitude = angle(tags.latitude, 90);
  const longitude = angle(tags.longitude, 180);
  if (latitude === undefined || longitude === undefined) return {};
  const altitude = items.get(tags.altitude);
  if (altitude?.length !== 2) return { latitude, longitude };
  const altitudeMetres = altitudeLow + (altitude.readUInt16BE(0) / 0xffff) * altitudeSpan;
  return judgedNumbers({ latitude, longitude, altitudeMetres }, '').facts;
}

/** Reads the sets of one stream; each holds until the next. */
export function parseSt0601(packets: Iterable<TimedBytes>, context: TelemetryContext): Reading {
  const samples: TrackSample[] = [];
  const refusals: Refusal[] = [];
  for (const { startSeconds, endSeconds, bytes } of packets) {
    const { facts, reason } = parseSet(bytes);
    if (reason !== undefined)
      refusals.push({ what: 'telemetry', raw: 'a set of metadata', source: context.source, reason });
    if (Object.keys(facts).length > 0) samples.push({ startSeconds, endSeconds, ...facts });
  }
  return trackReading(heldUntilNext(samples), refusals, context);
}
