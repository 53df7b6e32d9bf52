import { writeFile } from 'node:fs/promises';
import { FRAMES_PER_SECOND, PLACE, frameSteps, testClipBytes } from './baseClip.ts';
import { hex, i32, latin1, u16, u32, u64, u8 } from './bytes.ts';
import type { CarrierMaker, ExposureSample } from './truth.ts';

// MISB ST 0601 sets (position and time only: the standard has no exposure time) as private data in an MPEG
// transport stream (ISO/IEC 13818-1), announced by the registration KLVA.

const SET_KEY = hex('060E2B34.020B0101.0E010301.01000000');
const PACKET = 188;
const KLV_PID = 0x1f1;
const FRAMES_PER_SET = 12;
const START_MICROSECONDS = BigInt(Date.UTC(2025, 4, 6, 7, 8, 9)) * 1000n;

/** Altitude in the 65,535 steps from -900 m to 19,000 m of tag 15. */
const ALTITUDE_STEP = Math.round(((PLACE.altitudeMetres + 900) / 19_900) * 65_535);
const ALTITUDE_METRES = (ALTITUDE_STEP / 65_535) * 19_900 - 900;

function item(tag: number, value: Buffer): Buffer {
  return Buffer.concat([u8(tag), u8(value.length), value]);
}

function positionSet(seconds: number): Buffer {
  const items = Buffer.concat([
    item(2, u64(START_MICROSECONDS + BigInt(Math.round(seconds * 1e6)))),
    item(13, i32(Math.round((PLACE.latitude / 90) * (2 ** 31 - 1)))),
    item(14, i32(Math.round((PLACE.longitude / 180) * (2 ** 31 - 1)))),
    item(15, u16(ALTITUDE_STEP)),
    item(65, u8(17)),
  ]);
  // The checksum covers everything up to its own length byte.
  const covered = Buffer.concat([SET_KEY, u8(items.length + 4), items, u8(1), u8(2)]);
  const sum = covered.reduce(
    (total, byte, index) => (total + (byte << (index % 2 === 0 ? 8 : 0))) & 0xffff,
    0,
  );
  return Buffer.concat([covered, u16(sum)]);
}

/** A presentation time in the five bytes of a packetised elementary stream. */
function timeStamp(pts: number): Buffer {
  const high = Math.floor(pts / 2 ** 30);
  const middle = Math.floor(pts / 2 ** 15) % 2 ** 15;
  return Buffer.concat([u8(0x21 | (high << 1)), u16((middle << 1) | 1), u16(((pts % 2 ** 15) << 1) | 1)]);
}

function readTimeStamp(bytes: Buffer): number {
  return (
    ((bytes[0]! >> 1) & 7) * 2 ** 30 + (bytes.readUInt16BE(1) >> 1) * 2 ** 15 + (bytes.readUInt16BE(3) >> 1)
  );
}

/** One set in one transport packet, stuffed by its adaptation field. */
function klvPacket(set: Buffer, pts: number, counter: number): Buffer {
  const elementary = Buffer.concat([hex('808005'), timeStamp(pts), set]);
  const payload = Buffer.concat([hex('000001BD'), u16(elementary.length), elementary]);
  const stuffing = PACKET - 4 - payload.length - 2;
  return Buffer.concat([
    u8(71),
    u16(16384 | KLV_PID),
    u8(48 | (counter & 15)),
    u8(stuffing + 1),
    u8(0),
    Buffer.alloc(stuffing, 255),
    payload,
  ]);
}

interface Packet {
  readonly bytes: Buffer;
  readonly pid: number;
  readonly starts: boolean;
  readonly payload: Buffer;
}

function packetsOf(stream: Buffer): readonly Packet[] {
  return Array.from({ length: stream.length / PACKET }, (_, index) => {
    const bytes = stream.subarray(index * PACKET, (index + 1) * PACKET);
    const adaptation = (bytes[3]! & 0x20) === 0 ? 0 : bytes[4]! + 1;
    const head = bytes.readUInt16BE(1);
    return {
      bytes,
      pid: head & 0x1fff,
      starts: (head & 0x4000) !== 0,
      payload: bytes.subarray(4 + adaptation),
    };
  });
}

/** The table of the programme's streams with one more stream of private data in it. */
function withKlvStream(packet: Packet): Buffer {
  const section = packet.payload.subarray(1);
  const sectionEnd = 3 + (section.readUInt16BE(1) & 0xfff);
  const stream = Buffer.concat([u8(6), u16(0xe000 | KLV_PID), u16(0xf006), u8(5), u8(4), latin1('KLVA')]);
  const grown = Buffer.concat([section.subarray(0, sectionEnd - 4), stream]);
  grown.writeUInt16BE(0xb000 | (grown.length - 3 + 4), 1);
  const table = Buffer.concat([packet.bytes.subarray(0, 4), u8(0), grown, u32(crc32(grown))]);
  return Buffer.concat([table, Buffer.alloc(PACKET - table.length, 0xff)]);
}

/** The checksum of ISO/IEC 13818-1 annex A: polynomial 0x04C11DB7, unreflected. */
export function crc32(bytes: Buffer): number {
  let crc = 0xffffffff;
  for (const byte of bytes) {
    crc ^= byte << 24;
    for (let bit = 0; bit < 8; bit++) crc = crc & 0x80000000 ? (crc << 1) ^ 0x04c11db7 : crc << 1;
  }
  return crc >>> 0;
}

const TABLE_PID = 0x1000;
const VIDEO_PID = 0x100;

function withKlv(stream: Buffer): Buffer {
  let frame = 0;
  const packets = packetsOf(stream).flatMap((packet) => {
    if (packet.pid === TABLE_PID && packet.starts) return [withKlvStream(packet)];
    if (packet.pid !== VIDEO_PID || !packet.starts) return [packet.bytes];
    const set = frame / FRAMES_PER_SET;
    const seconds = frame++ / FRAMES_PER_SECOND;
    if (!Number.isInteger(set)) return [packet.bytes];
    return [
      klvPacket(positionSet(seconds), readTimeStamp(packet.payload.subarray(9, 14)), set),
      packet.bytes,
    ];
  });
  return Buffer.concat(packets);
}

export const klvClip: CarrierMaker = {
  file: 'MISB0001.TS',
  make: async (path, ffmpeg) => {
    const tables = ['-mpegts_pmt_start_pid', String(TABLE_PID), '-mpegts_start_pid', String(VIDEO_PID)];
    await writeFile(path, withKlv(await testClipBytes(ffmpeg, path, ['-f', 'mpegts', ...tables])));
    const samples = [0, 1, 2, 3].map((set): ExposureSample => ({
      startSeconds: (set * FRAMES_PER_SET) / FRAMES_PER_SECOND,
      endSeconds: ((set + 1) * FRAMES_PER_SET) / FRAMES_PER_SECOND,
      ...PLACE,
      altitudeMetres: ALTITUDE_METRES,
    }));
    const what = 'MISB ST 0601 sets, one each half second: position and time, no exposure';
    return { carrier: 'klv', what, frames: frameSteps.length, clip: {}, samples };
  },
};
