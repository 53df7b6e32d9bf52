import type { ByteSource } from './byteSource.ts';
import { childBoxes, firstOfType } from './isoBoxes.ts';
import type { Mp4Track } from './mp4Tracks.ts';

/** Where one sample of a track lies and when it holds. Seconds count from the start of the movie. */
export interface Mp4Sample {
  readonly startSeconds: number;
  readonly endSeconds: number;
  readonly offset: number;
  readonly sizeBytes: number;
}

export interface Mp4Samples {
  readonly samples: readonly Mp4Sample[];
  /** Why the table could not be read, or only in part. */
  readonly stoppedBecause?: string;
}

// Nearly three hours of one sample a frame at 30 frames/s; each costs some microseconds and some hundred bytes.
const maxSamples = 300_000;
const maxTableBytes = 16 << 20;

/** Expands a track's sample table (ISO/IEC 14496-12, 8.6 and 8.7); reads the table only, never a sample. */
export function mp4Samples(source: ByteSource, track: Mp4Track): Mp4Samples {
  const boxes = childBoxes(source, track.sampleTable);
  const table = (type: string): Buffer | undefined => {
    const box = firstOfType(boxes, type);
    const length = box === undefined ? 0 : box.end - box.bodyStart;
    return box === undefined || length < 8 || length > maxTableBytes
      ? undefined
      : source.read(box.bodyStart, length);
  };
  const sizes = sizesOf(table('stsz'), table('stz2'));
  const durations = table('stts');
  const runs = table('stsc');
  const offsets = chunkOffsets(table('stco'), table('co64'));
  if (sizes === undefined || durations === undefined || runs === undefined || offsets === undefined) {
    return { samples: [], stoppedBecause: 'a part of the sample table is missing or too long' };
  }
  return expanded(track, { sizes, durations: rows(durations, 2), runs: rows(runs, 3), offsets });
}

interface Tables {
  readonly sizes: Sizes;
  /** How many samples, how many ticks each. */
  readonly durations: Rows;
  /** From which chunk on, how many samples in each. */
  readonly runs: Rows;
  readonly offsets: Offsets;
}

function expanded(track: Mp4Track, { sizes, durations, runs, offsets }: Tables): Mp4Samples {
  const samples: Mp4Sample[] = [];
  const wanted = Math.min(sizes.count, maxSamples);
  const clock = clockOf(durations);
  const seconds = (ticks: number): number => ticks / track.ticksPerSecond + track.shiftSeconds;
  let run = 0;
  for (let chunk = 0; chunk < offsets.count && samples.length < wanted; chunk++) {
    // Chunks are counted from 1 in the table.
    while (run + 1 < runs.count && runs.at(run + 1, 0) <= chunk + 1) run++;
    let offset = offsets.at(chunk);
    const inChunk = run < runs.count ? runs.at(run, 1) : 0;
    for (let each = 0; each < inChunk && samples.length < wanted; each++) {
      const time = clock();
      if (time === undefined) return { samples, stoppedBecause: 'samples without a time follow' };
      const sizeBytes = sizes.at(samples.length);
      samples.push({ startSeconds: seconds(time.from), endSeconds: seconds(time.to), offset, sizeBytes });
      offset += sizeBytes;
    }
  }
  if (samples.length === sizes.count) return { samples };
  if (samples.length === maxSamples)
    return { samples, stoppedBecause: `there are more than ${maxSamples} samples` };
  return { samples, stoppedBecause: `${sizes.count - samples.length} samples have no place in the file` };
}

/** Hands out the ticks from and to which one sample after the other holds. */
function clockOf(durations: Tables['durations']): () => { from: number; to: number } | undefined {
  let row = 0;
  let usedInRow = 0;
  let now = 0;
  return () => {
    while (row < durations.count && usedInRow >= durations.at(row, 0)) {
      row++;
      usedInRow = 0;
    }
    if (row >= durations.count) return undefined;
    usedInRow++;
    const from = now;
    now += durations.at(row, 1);
    return { from, to: now };
  };
}

interface Sizes {
  readonly count: number;
  at(sample: number): number;
}

function sizesOf(stsz: Buffer | undefined, stz2: Buffer | undefined): Sizes | undefined {
  if (stsz !== undefined && stsz.length >= 12) {
    const same = stsz.readUInt32BE(4);
    const count = stsz.readUInt32BE(8);
    if (same > 0) return { count, at: () => same };
    return 12 + count * 4 <= stsz.length
      ? { count, at: (sample) => stsz.readUInt32BE(12 + sample * 4) }
      : undefined;
  }
  if (stz2 === undefined || stz2.length < 12) return undefined;
  const bits = stz2[7]!;
  const count = stz2.readUInt32BE(8);
  if (![4, 8, 16].includes(bits) || 12 + Math.ceil((count * bits) / 8) > stz2.length) return undefined;
  return {
    count,
    at: (sample) => {
      if (bits === 16) return stz2.readUInt16BE(12 + sample * 2);
      if (bits === 8) return stz2[12 + sample]!;
      const byte = stz2[12 + (sample >> 1)]!;
      return sample % 2 === 0 ? byte >> 4 : byte & 15;
    },
  };
}

type Offsets = Sizes;

function chunkOffsets(stco: Buffer | undefined, co64: Buffer | undefined): Offsets | undefined {
  const table = stco ?? co64;
  if (table === undefined) return undefined;
  const width = stco === undefined ? 8 : 4;
  const count = table.readUInt32BE(4);
  if (8 + count * width > table.length) return undefined;
  return {
    count,
    at: (chunk) =>
      width === 4 ? table.readUInt32BE(8 + chunk * 4) : Number(table.readBigUInt64BE(8 + chunk * 8)),
  };
}

interface Rows {
  readonly count: number;
  at(row: number, column: number): number;
}

/** The rows of a table of 32-bit numbers that really are there; read where they lie, for there can be millions. */
function rows(table: Buffer, columns: number): Rows {
  const count = Math.min(table.readUInt32BE(4), Math.floor((table.length - 8) / (columns * 4)));
  return { count, at: (row, column) => table.readUInt32BE(8 + (row * columns + column) * 4) };
}
