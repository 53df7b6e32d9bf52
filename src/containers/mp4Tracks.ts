import type { ByteSource } from './byteSource.ts';
import { childBoxes, firstOfType, fullBoxBody, isoBoxes, type IsoBox } from './isoBoxes.ts';

/** One track of a movie, as far as its headers tell; its samples are found by mp4Samples(). */
export interface Mp4Track {
  /** `vide`, `soun`, `text`, `meta`, … */
  readonly handler: string;
  /** Type of the first sample entry: `avc1`, `jpeg`, `camm`, `mebx`, … */
  readonly entryType: string;
  /** What follows the entry's data reference index, for the boxes of a metadata entry. */
  readonly entryBody: { readonly start: number; readonly end: number };
  readonly ticksPerSecond: number;
  /** Added to a sample's time in its track to get its time in the movie; the edit list asks for it. */
  readonly shiftSeconds: number;
  readonly edits: readonly Edit[];
  readonly sampleTable: IsoBox;
}

/** A stretch of a track that is shown (ISO/IEC 14496-12, 8.6.6). */
interface Edit {
  readonly durationSeconds: number;
  /** Where in the track it begins; undefined where nothing is shown. */
  readonly mediaTicks?: number;
}

// ffprobe refuses more as well.
const maxTracks = 64;
const maxHeaderBytes = 65_536;

/** The tracks of an MP4 or MOV whose index is readable. Fragments are not looked into. */
export function mp4Tracks(source: ByteSource, moov: IsoBox): Mp4Track[] {
  const inMovie = childBoxes(source, moov);
  const movieTicks = ticksPerSecond(source, firstOfType(inMovie, 'mvhd'));
  return inMovie
    .filter(({ type }) => type === 'trak')
    .slice(0, maxTracks)
    .flatMap((trak) => trackOf(source, trak, movieTicks) ?? []);
}

function trackOf(source: ByteSource, trak: IsoBox, movieTicks: number | undefined): Mp4Track | undefined {
  const inTrack = childBoxes(source, trak);
  const inMedia = childBoxes(source, firstOfType(inTrack, 'mdia'));
  const ticks = ticksPerSecond(source, firstOfType(inMedia, 'mdhd'));
  const sampleTable = firstOfType(childBoxes(source, firstOfType(inMedia, 'minf')), 'stbl');
  const handler = handlerOf(source, firstOfType(inMedia, 'hdlr'));
  if (ticks === undefined || sampleTable === undefined || handler === undefined) return undefined;
  const entry = firstEntry(source, firstOfType(childBoxes(source, sampleTable), 'stsd'));
  if (entry === undefined) return undefined;
  const elst = firstOfType(childBoxes(source, firstOfType(inTrack, 'edts')), 'elst');
  const edits = editsOf(source, elst, movieTicks);
  return {
    handler,
    entryType: entry.type,
    // Six reserved bytes and the data reference index (ISO/IEC 14496-12, 8.5.2).
    entryBody: { start: entry.bodyStart + 8, end: entry.end },
    ticksPerSecond: ticks,
    shiftSeconds: shiftSeconds(edits, ticks),
    edits,
    sampleTable,
  };
}

/** `mvhd` and `mdhd` begin alike (ISO/IEC 14496-12, 8.2.2 and 8.4.2). */
function ticksPerSecond(source: ByteSource, box: IsoBox | undefined): number | undefined {
  const header = box && fullBoxBody(source, box, maxHeaderBytes);
  const at = header?.version === 1 ? 16 : 8;
  if (header === undefined || header.body.length < at + 4) return undefined;
  const ticks = header.body.readUInt32BE(at);
  return ticks > 0 ? ticks : undefined;
}

function handlerOf(source: ByteSource, box: IsoBox | undefined): string | undefined {
  const header = box && fullBoxBody(source, box, maxHeaderBytes);
  return header !== undefined && header.body.length >= 8 ? header.body.toString('latin1', 4, 8) : undefined;
}

function firstEntry(source: ByteSource, stsd: IsoBox | undefined): IsoBox | undefined {
  if (stsd === undefined) return undefined;
  // Version, flags and the count of entries stand before the first.
  const [entry] = isoBoxes(source, stsd.bodyStart + 8, stsd.end, 1);
  return entry !== undefined && entry.end - entry.bodyStart >= 8 ? entry : undefined;
}

function editsOf(source: ByteSource, elst: IsoBox | undefined, movieTicks: number | undefined): Edit[] {
  const list = elst && fullBoxBody(source, elst, maxHeaderBytes);
  if (list === undefined || movieTicks === undefined || list.body.length < 4) return [];
  const wide = list.version === 1;
  const { body } = list;
  const edits: Edit[] = [];
  for (let at = 4; at + (wide ? 20 : 12) <= body.length; at += wide ? 20 : 12) {
    const ticks = wide ? Number(body.readBigUInt64BE(at)) : body.readUInt32BE(at);
    const mediaTicks = wide ? Number(body.readBigInt64BE(at + 8)) : body.readInt32BE(at + 4);
    const durationSeconds = ticks / movieTicks;
    edits.push(mediaTicks < 0 ? { durationSeconds } : { durationSeconds, mediaTicks });
  }
  return edits;
}

/** Empty edits at the start delay a track; the first real one says which time of the track is shown first. */
function shiftSeconds(edits: readonly Edit[], ticksPerSecond: number): number {
  let delay = 0;
  for (const { durationSeconds, mediaTicks } of edits) {
    if (mediaTicks !== undefined) return delay - mediaTicks / ticksPerSecond;
    delay += durationSeconds;
  }
  return delay;
}

/** Where one sample of a track lies and when it holds. Seconds count from the start of the movie. */
export interface SamplePlace {
  readonly startSeconds: number;
  readonly endSeconds: number;
  readonly offset: number;
  readonly sizeBytes: number;
}

interface SampleTable {
  readonly samples: readonly SamplePlace[];
  /** Why the table could not be read, or only in part. */
  readonly stoppedBecause?: string;
}

// Nearly three hours of one sample a frame at 30 frames/s; each costs some microseconds and some hundred bytes.
const maxSamples = 300_000;
const maxTableBytes = 16 << 20;

/** Expands a track's sample table (ISO/IEC 14496-12, 8.6 and 8.7); reads the table only, never a sample. */
export function mp4Samples(source: ByteSource, track: Mp4Track): SampleTable {
  const tables = sampleTables(source, track);
  const clock = tables && clockOf(tables.durations);
  if (tables === undefined || clock === undefined) {
    return { samples: [], stoppedBecause: 'a part of the sample table is missing or too long' };
  }
  const samples: SamplePlace[] = [];
  const seconds = (ticks: number): number => ticks / track.ticksPerSecond + track.shiftSeconds;
  for (const { offset, sizeBytes } of samplePlaces(tables, maxSamples)) {
    const time = clock();
    if (time === undefined) return { samples, stoppedBecause: 'samples without a time follow' };
    samples.push({ startSeconds: seconds(time.from), endSeconds: seconds(time.to), offset, sizeBytes });
  }
  const { count } = tables.sizes;
  if (samples.length === count) return { samples };
  if (samples.length === maxSamples)
    return { samples, stoppedBecause: `there are more than ${maxSamples} samples` };
  return { samples, stoppedBecause: `${count - samples.length} samples have no place in the file` };
}

/** The tables of a track that say where its samples lie and how long each holds. */
interface SampleTables {
  readonly sizes: Column;
  /** How many samples, how many ticks each. */
  readonly durations: Rows;
  /** From which chunk on, how many samples in each, by which of the sample entries. */
  readonly runs: Rows;
  readonly offsets: Column;
  /** The rows of another table of 32-bit numbers; undefined where there is none. */
  readonly other: (type: string, columns: number) => Rows | undefined;
}

/** Undefined where one of them is missing or too long. */
export function sampleTables(source: ByteSource, track: Mp4Track): SampleTables | undefined {
  const boxes = childBoxes(source, track.sampleTable);
  const table = (type: string): Buffer | undefined => {
    const box = firstOfType(boxes, type);
    const length = box === undefined ? 0 : box.end - box.bodyStart;
    return box === undefined || length < 8 || length > maxTableBytes
      ? undefined
      : source.read(box.bodyStart, length);
  };
  const sizes = sizesOf(table('stsz'), table('stz2'));
  const [durations, runs] = [rows(table('stts'), 2), rows(table('stsc'), 3)];
  const offsets = chunkOffsets(table('stco'), table('co64'));
  if (sizes === undefined || durations === undefined || runs === undefined || offsets === undefined)
    return undefined;
  return { sizes, durations, runs, offsets, other: (type, columns) => rows(table(type), columns) };
}

/** Where the samples lie, in the order of the table, up to so many. */
export function* samplePlaces(
  { sizes, runs, offsets }: SampleTables,
  most: number,
): Generator<{ readonly offset: number; readonly sizeBytes: number; readonly entry: number }> {
  let sample = 0;
  let run = 0;
  const wanted = Math.min(sizes.count, most);
  for (let chunk = 0; chunk < offsets.count && sample < wanted; chunk++) {
    // Chunks are counted from 1 in the table.
    while (run + 1 < runs.count && runs.at(run + 1, 0) <= chunk + 1) run++;
    let offset = offsets.at(chunk);
    const inChunk = run < runs.count ? runs.at(run, 1) : 0;
    for (let each = 0; each < inChunk && sample < wanted; each++, sample++) {
      const sizeBytes = sizes.at(sample);
      yield { offset, sizeBytes, entry: runs.at(run, 2) };
      offset += sizeBytes;
    }
  }
}

/** Hands out the ticks from and to which one sample after the other holds. */
export function clockOf(durations: Rows): () => { from: number; to: number } | undefined {
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

interface Column {
  readonly count: number;
  at(row: number): number;
}

function sizesOf(stsz: Buffer | undefined, stz2: Buffer | undefined): Column | undefined {
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

function chunkOffsets(stco: Buffer | undefined, co64: Buffer | undefined): Column | undefined {
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

/** A table of 32-bit numbers. */
export interface Rows {
  readonly count: number;
  at(row: number, column: number): number;
}

/** The rows of a table of 32-bit numbers that really are there; read where they lie, for there can be millions. */
function rows(table: Buffer | undefined, columns: number): Rows | undefined {
  if (table === undefined) return undefined;
  const count = Math.min(table.readUInt32BE(4), Math.floor((table.length - 8) / (columns * 4)));
  return { count, at: (row, column) => table.readUInt32BE(8 + (row * columns + column) * 4) };
}
