import { latin1, u16, u32 } from './bytes.ts';
import { box, boxAt, boxesIn, fullBox, handlerBox, withBoxesInMoov } from './isoBoxes.ts';

export interface TrackSampleBytes {
  readonly startSeconds: number;
  readonly bytes: Buffer;
}

export interface MetadataTrack {
  /** The boxes of the sample entry behind its data reference index. */
  readonly entryType: string;
  readonly entryBoxes: readonly Buffer[];
  readonly ticksPerSecond: number;
  readonly endSeconds: number;
  readonly samples: readonly TrackSampleBytes[];
}

/** Adds a timed metadata track (handler `meta`) to a clip whose `moov` comes last; its samples follow behind. */
export function withMetadataTrack(clip: Buffer, track: MetadataTrack): Buffer {
  const trackId = highestTrackId(clip) + 1;
  // The chunk offset has the same width whatever it is, so a first try tells where the samples will lie.
  const lengthWithout = withBoxesInMoov(clip, trackBox(track, trackId, 0)).length;
  const file = withBoxesInMoov(clip, trackBox(track, trackId, lengthWithout + 8));
  setNextTrackId(file, trackId + 1);
  return Buffer.concat([file, box('mdat', ...track.samples.map(({ bytes }) => bytes))]);
}

function trackBox(track: MetadataTrack, trackId: number, chunkOffset: number): Buffer {
  const duration = ticks(track, track.endSeconds);
  const inMovieTicks = Math.round(track.endSeconds * 1000);
  const header = [
    u32(0),
    u32(0),
    u32(trackId),
    u32(0),
    u32(inMovieTicks),
    Buffer.alloc(16),
    MATRIX,
    Buffer.alloc(8),
  ];
  const media = box(
    'mdia',
    fullBox('mdhd', 0, 0, u32(0), u32(0), u32(track.ticksPerSecond), u32(duration), u16(0x55c4), u16(0)),
    handlerBox('meta', 'Exposure'),
    box('minf', fullBox('nmhd', 0, 0), dataInformation(), sampleTable(track, chunkOffset)),
  );
  return box('trak', fullBox('tkhd', 0, 7, ...header), media);
}

const MATRIX = Buffer.concat([0x10000, 0, 0, 0, 0x10000, 0, 0, 0, 0x40000000].map(u32));

function dataInformation(): Buffer {
  return box('dinf', fullBox('dref', 0, 0, u32(1), fullBox('url ', 0, 1)));
}

function sampleTable(track: MetadataTrack, chunkOffset: number): Buffer {
  const { samples } = track;
  const starts = [...samples.map(({ startSeconds }) => startSeconds), track.endSeconds].map((at) =>
    ticks(track, at),
  );
  const lengths = samples.map((_, index) => (starts[index + 1] ?? 0) - (starts[index] ?? 0));
  return box(
    'stbl',
    fullBox('stsd', 0, 0, u32(1), box(track.entryType, Buffer.alloc(6), u16(1), ...track.entryBoxes)),
    fullBox('stts', 0, 0, u32(samples.length), ...lengths.flatMap((length) => [u32(1), u32(length)])),
    fullBox('stsc', 0, 0, u32(1), u32(1), u32(samples.length), u32(1)),
    fullBox('stsz', 0, 0, u32(0), u32(samples.length), ...samples.map(({ bytes }) => u32(bytes.length))),
    fullBox('stco', 0, 0, u32(1), u32(chunkOffset)),
  );
}

function ticks({ ticksPerSecond }: MetadataTrack, seconds: number): number {
  return Math.round(seconds * ticksPerSecond);
}

function highestTrackId(clip: Buffer): number {
  const moov = boxAt(clip, 'moov');
  if (moov === undefined) throw new Error('the clip has no moov box');
  const tracks = boxesIn(moov).filter(({ type }) => type === 'trak');
  const ids = tracks.map(
    ({ start, end }) => boxAt(moov.subarray(start, end), 'trak/tkhd')?.readUInt32BE(12) ?? 0,
  );
  return Math.max(...ids);
}

function setNextTrackId(file: Buffer, trackId: number): void {
  const header = boxAt(file, 'moov/mvhd');
  header?.writeUInt32BE(trackId, header.length - 4);
}

/** A text as QuickTime keys hold it: namespace and name. */
export function keyName(name: string): Buffer {
  return Buffer.concat([latin1('mdta'), latin1(name)]);
}
