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
  readonly sampleTable: IsoBox;
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
  const edits = firstOfType(childBoxes(source, firstOfType(inTrack, 'edts')), 'elst');
  return {
    handler,
    entryType: entry.type,
    // Six reserved bytes and the data reference index (ISO/IEC 14496-12, 8.5.2).
    entryBody: { start: entry.bodyStart + 8, end: entry.end },
    ticksPerSecond: ticks,
    shiftSeconds: shiftSeconds(source, edits, { movieTicks, ticks }),
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
  const [entry] = isoBoxes(source, stsd.bodyStart + 8, stsd.end, 1).boxes;
  return entry !== undefined && entry.end - entry.bodyStart >= 8 ? entry : undefined;
}

/** Empty edits at the start delay a track; the first real one says which time of the track is shown first. */
function shiftSeconds(
  source: ByteSource,
  elst: IsoBox | undefined,
  { movieTicks, ticks }: { readonly movieTicks: number | undefined; readonly ticks: number },
): number {
  const list = elst && fullBoxBody(source, elst, maxHeaderBytes);
  if (list === undefined || movieTicks === undefined || list.body.length < 4) return 0;
  const wide = list.version === 1;
  let delay = 0;
  for (let at = 4; at + (wide ? 20 : 12) <= list.body.length; at += wide ? 20 : 12) {
    const mediaTime = wide ? Number(list.body.readBigInt64BE(at + 8)) : list.body.readInt32BE(at + 4);
    if (mediaTime >= 0) return delay - mediaTime / ticks;
    delay += (wide ? Number(list.body.readBigUInt64BE(at)) : list.body.readUInt32BE(at)) / movieTicks;
  }
  return delay;
}
