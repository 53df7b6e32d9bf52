import type { ByteSource } from './byteSource.ts';
import { childBoxes, firstOfType, isoBoxes, type IsoBox } from './isoBoxes.ts';
import { clockOf, mp4Tracks, samplePlaces, sampleTables, type Mp4Track, type Rows } from './mp4Tracks.ts';

/** The pictures of an MP4 or MOV as its sample table lists them: in the order in which they are stored and decoded. */
export interface PictureTable {
  /** Type of the sample entry: `avc1`, `hvc1`, `apcn`, … */
  readonly codec: string;
  readonly width: number;
  readonly height: number;
  /** The file's `ftyp` and the track's `stsd`, whole boxes; the first is empty where there is none. */
  readonly fileType: Buffer;
  readonly sampleEntries: Buffer;
  readonly count: number;
  readonly offsets: Float64Array;
  readonly sizesBytes: Uint32Array;
  /** When each is shown, from the first that is; negative, or past `endSeconds`, where the edit list leaves it out. */
  readonly shownSeconds: Float64Array;
  /** Past the last picture that is shown. */
  readonly endSeconds: number;
  /** 1 where decoding can begin. */
  readonly isKey: Uint8Array;
}

// Two hours at 60 frames/s, some 12 MB of tables.
const mostPictures = 500_000;
/** A raw picture in 8K at 16 bits has 200 MB; what cameras compress stays below a tenth of that. */
const mostPictureBytes = 64 << 20;
const mostEntryBytes = 1 << 20;
// As in an MP4 that is read for its metadata.
const mostTopBoxes = 4096;

/**
 * Reads where the pictures of an MP4 or MOV lie (ISO/IEC 14496-12, 8.5 to 8.7). Undefined where that is not plain: in
 * fragments, with several moving pictures, sample entries or edits, encrypted, with a table that is not whole, or with key
 * frames of H.264 that are decoded rightly only after what lies before them.
 */
export function mp4Pictures(source: ByteSource): PictureTable | undefined {
  const boxes = isoBoxes(source, 0, source.sizeBytes, mostTopBoxes);
  const moov = firstOfType(boxes, 'moov');
  if (moov === undefined || firstOfType(childBoxes(source, moov), 'mvex') !== undefined) return undefined;
  const [track, ...others] = mp4Tracks(source, moov).filter(({ handler }) => handler === 'vide');
  if (track === undefined || others.length > 0 || track.entryType === 'encv') return undefined;
  const entries = sampleEntries(source, track);
  const places = entries && picturePlaces(source, track);
  const fileType = firstOfType(boxes.slice(0, 1), 'ftyp');
  if (entries === undefined || places === undefined) return undefined;
  if (!everyKeyRefreshes(source, { ...entries, ...places })) return undefined;
  return { codec: track.entryType, ...entries, ...places, fileType: wholeBox(source, fileType) };
}

/** A box as it stands in the file; empty where there is none, or it is longer than any that is honest. */
function wholeBox(source: ByteSource, box: IsoBox | undefined): Buffer {
  const length = box === undefined ? 0 : box.end - box.bodyStart + 8;
  if (box === undefined || length > mostEntryBytes) return Buffer.alloc(0);
  const bytes = source.read(box.bodyStart - 8, length);
  // Not one with a long header.
  return bytes.readUInt32BE(0) === length ? bytes : Buffer.alloc(0);
}

function sampleEntries(source: ByteSource, { sampleTable, entryBody }: Mp4Track) {
  const bytes = wholeBox(source, firstOfType(childBoxes(source, sampleTable), 'stsd'));
  // Of a visual sample entry: 16 bytes that say nothing, width, height (ISO/IEC 14496-12, 12.1.3.2).
  const size = source.read(entryBody.start + 16, 4);
  if (bytes.length === 0 || size.length < 4) return undefined;
  return { sampleEntries: bytes, width: size.readUInt16BE(0), height: size.readUInt16BE(2) };
}

function picturePlaces(source: ByteSource, track: Mp4Track) {
  const tables = sampleTables(source, track);
  const count = tables?.sizes.count ?? 0;
  if (tables === undefined || count === 0 || count > mostPictures) return undefined;
  const offsets = new Float64Array(count);
  const sizesBytes = new Uint32Array(count);
  const ticks = new Float64Array(count);
  const durations = clockOf(tables.durations);
  const delays = delaysOf(tables.other('ctts', 2));
  let at = 0;
  let lastTicks = 0;
  for (const { offset, sizeBytes, entry } of samplePlaces(tables, count)) {
    const time = durations();
    const delay = delays();
    if (time === undefined || delay === undefined || entry !== 1 || sizeBytes > mostPictureBytes)
      return undefined;
    offsets[at] = offset;
    sizesBytes[at] = sizeBytes;
    ticks[at] = time.from + delay;
    lastTicks = Math.max(lastTicks, time.to + delay);
    at++;
  }
  const shown = shownTicks(track, ticks, lastTicks);
  if (at < count || shown === undefined) return undefined;
  const seconds = (tick: number): number => (tick - shown.first) / track.ticksPerSecond;
  return {
    count,
    offsets,
    sizesBytes,
    shownSeconds: ticks.map(seconds),
    endSeconds: seconds(shown.end),
    isKey: keysOf(tables.other('stss', 1), count),
  };
}

/** Hands out by how much one sample after the other is shown later than it is decoded; writers also put negative ones. */
function delaysOf(table: Rows | undefined) {
  let row = 0;
  let usedInRow = 0;
  return (): number | undefined => {
    if (table === undefined) return 0;
    while (row < table.count && usedInRow >= table.at(row, 0)) {
      row++;
      usedInRow = 0;
    }
    usedInRow++;
    return row < table.count ? table.at(row, 1) | 0 : undefined;
  };
}

/** Without the table every sample is a key frame (ISO/IEC 14496-12, 8.6.2). */
function keysOf(table: Rows | undefined, count: number): Uint8Array {
  if (table === undefined) return new Uint8Array(count).fill(1);
  const isKey = new Uint8Array(count);
  for (let row = 0; row < table.count; row++) isKey[table.at(row, 0) - 1] = 1;
  return isKey;
}

/** Writers choose one kind of key frame for a file. */
const enoughKeys = 100;
const mostUnits = 32;
/** Types of H.264's units: a slice of a picture, and one of a picture that refers to nothing before it. */
const slice = 1;
const refreshingSlice = 5;

/**
 * H.264: whether nothing after a key frame refers back across it (IDR). The order in which the pictures after another kind
 * are shown is counted on from those before it, and comes out wrong where some are left out (Recommendation ITU-T H.264,
 * 7.4.1.2.4 and 8.2.1).
 */
function everyKeyRefreshes(
  source: ByteSource,
  {
    sampleEntries,
    isKey,
    offsets,
    sizesBytes,
  }: Pick<PictureTable, 'sampleEntries' | 'isKey' | 'offsets' | 'sizesBytes'>,
): boolean {
  const at = sampleEntries.indexOf('avcC', 0, 'latin1');
  if (at < 0 || at + 9 > sampleEntries.length) return true;
  // How many bytes say how long a unit is (ISO/IEC 14496-15, 5.3.3.1).
  const lengthBytes = (sampleEntries[at + 8]! & 3) + 1;
  let checked = 0;
  // There is nothing before the first.
  for (let picture = 1; picture < isKey.length && checked < enoughKeys; picture++) {
    if (isKey[picture] !== 1) continue;
    checked++;
    let unit = offsets[picture]!;
    const end = unit + sizesBytes[picture]!;
    for (let units = 0; units < mostUnits && unit < end; units++) {
      const head = source.read(unit, lengthBytes + 1);
      const type = (head[lengthBytes] ?? 0) & 31;
      if (type === slice) return false;
      if (type === refreshingSlice || head.length <= lengthBytes) break;
      unit += lengthBytes + head.readUIntBE(0, lengthBytes);
    }
  }
  return true;
}

/** The first picture that is shown, and the end of the last; undefined where the edit list is more than one stretch. */
function shownTicks(
  { edits, ticksPerSecond }: Mp4Track,
  ticks: Float64Array,
  lastTicks: number,
): { readonly first: number; readonly end: number } | undefined {
  const [edit, ...others] = edits;
  if (others.length > 0 || (edit !== undefined && edit.mediaTicks === undefined)) return undefined;
  const from = edit?.mediaTicks ?? -Infinity;
  const first = ticks.reduce((least, tick) => (tick >= from && tick < least ? tick : least), Infinity);
  if (first === Infinity) return undefined;
  // A duration of 0 means all that follows.
  const length = edit === undefined || edit.durationSeconds === 0 ? Infinity : edit.durationSeconds;
  return { first, end: edit === undefined ? lastTicks : Math.min(lastTicks, from + length * ticksPerSecond) };
}
