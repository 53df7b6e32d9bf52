import { isoBox, isoFullBox, uint } from '../isoBoxBytes.ts';

/** A movie of one metadata track, byte by byte (ISO/IEC 14496-12), independently of the code under test. */
export interface MovieTrack {
  readonly entry: Buffer;
  readonly ticksPerSecond: number;
  readonly samples: readonly { readonly ticks: number; readonly bytes: Buffer }[];
  /** Rows of the edit list: duration in thousandths of a second, time in the track's ticks or -1. */
  readonly edits?: readonly (readonly [duration: number, mediaTime: number])[];
  readonly samplesPerChunk?: number;
  readonly wideOffsets?: boolean;
  /** What the size table claims, in place of the truth. */
  readonly claimedSamples?: number;
}

export function sampleEntry(type: string, ...boxes: Buffer[]): Buffer {
  return isoBox(type, uint(0, 6), uint(1, 2), ...boxes);
}

export function movieFile(track: MovieTrack): Buffer {
  const ftyp = isoBox('ftyp', Buffer.from('isom'), uint(0, 4));
  const data = Buffer.concat(track.samples.map(({ bytes }) => bytes));
  const moov = (at: number) => isoBox('moov', movieHeader, trackBox(track, at));
  const dataAt = ftyp.length + moov(0).length + 8;
  return Buffer.concat([ftyp, moov(dataAt), isoBox('mdat', data)]);
}

const movieHeader = isoFullBox(
  'mvhd',
  0,
  0,
  uint(0, 8 - 2),
  uint(0, 2),
  uint(1000, 4),
  uint(0, 4),
  Buffer.alloc(80),
);

function trackBox(track: MovieTrack, dataAt: number): Buffer {
  const handler = isoFullBox('hdlr', 0, 0, uint(0, 4), Buffer.from('meta'), Buffer.alloc(13));
  const header = isoFullBox(
    'mdhd',
    0,
    0,
    uint(0, 4),
    uint(0, 4),
    uint(track.ticksPerSecond, 4),
    uint(0, 4),
    uint(0, 4),
  );
  const edits = (track.edits ?? []).map(([duration, time]) =>
    Buffer.concat([uint(duration, 4), uint(time < 0 ? 2 ** 32 + time : time, 4), uint(0x10000, 4)]),
  );
  const elst = isoBox('edts', isoFullBox('elst', 0, 0, uint(edits.length, 4), ...edits));
  return isoBox(
    'trak',
    ...(edits.length === 0 ? [] : [elst]),
    isoBox('mdia', header, handler, isoBox('minf', sampleTable(track, dataAt))),
  );
}

function sampleTable(track: MovieTrack, dataAt: number): Buffer {
  const { samples, samplesPerChunk = samples.length, wideOffsets = false } = track;
  const offsets: number[] = [];
  samples.reduce((at, { bytes }, index) => {
    if (index % samplesPerChunk === 0) offsets.push(at);
    return at + bytes.length;
  }, dataAt);
  const last = samples.length % samplesPerChunk;
  const runs = [[1, samplesPerChunk], ...(last === 0 || offsets.length < 2 ? [] : [[offsets.length, last]])];
  const count = track.claimedSamples ?? samples.length;
  return isoBox(
    'stbl',
    isoFullBox('stsd', 0, 0, uint(1, 4), track.entry),
    isoFullBox(
      'stts',
      0,
      0,
      uint(samples.length, 4),
      ...samples.flatMap(({ ticks }) => [uint(1, 4), uint(ticks, 4)]),
    ),
    isoFullBox(
      'stsc',
      0,
      0,
      uint(runs.length, 4),
      ...runs.flatMap(([chunk, each]) => [uint(chunk!, 4), uint(each!, 4), uint(1, 4)]),
    ),
    isoFullBox(
      'stsz',
      0,
      0,
      uint(0, 4),
      uint(count, 4),
      ...samples.map(({ bytes }) => uint(bytes.length, 4)),
    ),
    wideOffsets
      ? isoFullBox(
          'co64',
          0,
          0,
          uint(offsets.length, 4),
          ...offsets.flatMap((at) => [uint(0, 4), uint(at, 4)]),
        )
      : isoFullBox('stco', 0, 0, uint(offsets.length, 4), ...offsets.map((at) => uint(at, 4))),
  );
}
