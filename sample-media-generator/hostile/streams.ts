import { hex, latin1, u16, u32, u8, repeated } from '../carriers/bytes.ts';
import { crc32 } from '../carriers/transportStreamKlv.ts';
import { writeFileSync } from 'node:fs';
import type { HostileMaker } from './cases.ts';
import { fileCase, withEnding } from './files.ts';

// Matroska (RFC 9559), MPEG transport streams (ISO/IEC 13818-1), AVI, MXF (SMPTE ST 377-1), SubRip.

/** Master elements inside each other, each of a size that it does not say. */
function nestedElements(levels: number): Buffer {
  const header = hex('1A45DFA3 8B 4282 88 6D6174726F736B61');
  const segment = hex('18538067 01FFFFFFFFFFFFFF');
  return Buffer.concat([header, segment, repeated(hex('1254C367 01FFFFFFFFFFFFFF'), levels)]);
}

/** Simple tags inside each other, sizes right, as the standard allows. */
function nestedTags(levels: number): Buffer {
  const size = (level: number) => 10 * (levels - level);
  const tags = Array.from({ length: levels }, (_, level) =>
    Buffer.concat([hex('67C8'), hex('01'), bytes7(size(level + 1))]),
  );
  const all = Buffer.concat(tags);
  return Buffer.concat([
    hex('1A45DFA3 8B 4282 88 6D6174726F736B61 18538067 01FFFFFFFFFFFFFF 1254C367 01'),
    bytes7(all.length),
    all,
  ]);
}

function bytes7(value: number): Buffer {
  return Buffer.concat([hex('000000'), u32(value)]);
}

const PACKET = 188;
const STREAMS_PER_TABLE = 190;
const TABLES = 42;
const FIRST_STREAM = 0x100;

function transportPacket(pid: number, starts: boolean, counter: number, payload: Buffer): Buffer {
  const head = Buffer.concat([
    u8(0x47),
    u16((starts ? 0x4000 : 0) | pid),
    u8(0x10 | (counter & 15)),
    payload,
  ]);
  return Buffer.concat([head, Buffer.alloc(PACKET - head.length, 0xff)]);
}

function section(pid: number, tableId: number, id: number, body: Buffer): Buffer {
  const covered = Buffer.concat([
    u8(tableId),
    u16(0xb000 | (body.length + 9)),
    u16(id),
    u8(0xc1),
    u16(0),
    body,
  ]);
  const whole = Buffer.concat([u8(0), covered, u32(crc32(covered))]);
  const packets = Math.ceil(whole.length / 184);
  const parts = Array.from({ length: packets }, (_, at) => whole.subarray(at * 184, (at + 1) * 184));
  return Buffer.concat(parts.map((part, at) => transportPacket(pid, at === 0, at, part)));
}

/** Forty-two programmes with 190 streams each, every stream with three packets. */
function manyStreams(): Buffer {
  const tablePid = (table: number) => 0x20 + table;
  const programmes = Array.from({ length: TABLES }, (_, table) =>
    Buffer.concat([u16(table + 1), u16(0xe000 | tablePid(table))]),
  );
  const tables = Array.from({ length: TABLES }, (_, table) => {
    const streams = Array.from({ length: STREAMS_PER_TABLE }, (__, at) =>
      Buffer.concat([u8(0x1b), u16(0xe000 | (FIRST_STREAM + table * STREAMS_PER_TABLE + at)), u16(0xf000)]),
    );
    const first = u16(0xe000 | (FIRST_STREAM + table * STREAMS_PER_TABLE));
    return section(tablePid(table), 2, table + 1, Buffer.concat([first, u16(0xf000), ...streams]));
  });
  const data = Array.from({ length: 3 * TABLES * STREAMS_PER_TABLE }, (_, at) => {
    const start = hex('000001E0 0000 80 80 05 21 0001 0001');
    return transportPacket(
      FIRST_STREAM + (at % (TABLES * STREAMS_PER_TABLE)),
      true,
      Math.floor(at / 7980),
      start,
    );
  });
  return Buffer.concat([section(0, 0, 1, Buffer.concat(programmes)), ...tables, ...data]);
}

/** A SubRip sidecar beside a clip in good order. */
function cues(at: string, what: string, expect: HostileMaker['expect'], text: () => string): HostileMaker {
  return {
    at,
    what,
    kind: 'sidecar',
    expect,
    make: (path, { clip }) => {
      writeFileSync(withEnding(path, 'MP4'), clip);
      writeFileSync(path, text());
    },
  };
}

const refused = 'audited-with-refusals';
const OVERLAPPING = '1\n0:0:0,0 --> 9:0:0,0\nISO 1\n\n';

export const streamCases: readonly HostileMaker[] = [
  fileCase(
    {
      at: 'MKVS0001.MKV',
      what: '100,000 elements of unsaid size inside each other',
      kind: 'clip',
      expect: 'any',
    },
    () => nestedElements(100_000),
  ),
  fileCase({ at: 'MKVS0002.MKV', what: '50,000 tags inside each other', kind: 'clip', expect: 'any' }, () =>
    nestedTags(50_000),
  ),
  fileCase(
    { at: 'MKVS0003.MKV', what: 'the first 2,000 bytes of a good clip', kind: 'clip', expect: 'any' },
    ({ matroska }) => matroska.subarray(0, 2000),
  ),
  fileCase(
    { at: 'TRAN0001.TS', what: '7,980 streams in 42 programmes', kind: 'clip', expect: 'any' },
    manyStreams,
  ),
  fileCase({ at: 'AVIS0001.AVI', what: 'a list that claims 4 GB', kind: 'clip', expect: 'any' }, () =>
    Buffer.concat([latin1('RIFF'), hex('FEFFFFFF'), latin1('AVI LIST'), hex('FEFFFFFF'), latin1('hdrlavih')]),
  ),
  fileCase({ at: 'MXFS0001.MXF', what: 'an item of 2^63 bytes', kind: 'clip', expect: 'any' }, () =>
    hex('060E2B34 02050101 0D010201 01020400 88 7FFFFFFFFFFFFFFF 0001 0002'),
  ),
  cues('CUES0001.SRT', '300,000 cues that overlap', refused, () => OVERLAPPING.repeat(300_000)),
  cues(
    'CUES0002.SRT',
    'a line of 20 MB',
    refused,
    () => `1\n00:00:00,000 --> 00:00:01,000\n${'ISO 100 '.repeat(2_500_000)}\n`,
  ),
  cues(
    'CUES0003.SRT',
    'cues that end before they start, and hours that no clip has',
    'any',
    () =>
      '1\n00:00:09,000 --> 00:00:01,000\nISO 100\n\n2\n99999999:00:00,000 --> 99999999:99:99,999\nISO 200\n',
  ),
  cues(
    'CUES0004.SRT',
    'exposures that no camera has',
    'any',
    () =>
      '1\n00:00:00,000 --> 00:00:01,000\nShutter 1/0 s, ISO -100, f/0\n\n' +
      '2\n00:00:01,000 --> 00:00:02,000\nShutter 1e999 s, ISO 1e99, f/NaN\n',
  ),
  cues('CUES0005.SRT', 'zero bytes and terminal codes', 'any', () => `\0\u001B[2J\u202E`.repeat(20_000)),
];
