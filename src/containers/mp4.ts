import { beginsAsMp4 } from '../programs/openMedia.ts';
import { decodeText, type ByteSource } from './byteSource.ts';
import { childBoxes, firstOfType, isoBoxes, type IsoBox } from './isoBoxes.ts';
import { mp4Tracks } from './mp4Tracks.ts';
import { clipXmp } from './contents.ts';

interface Mp4Contents extends ReturnType<typeof clipXmp> {
  /** The movie's index; without it no frame can be found. */
  readonly moov?: IsoBox;
  /** Whether the file claims so much that a program which reads it needs minutes or gigabytes. */
  readonly isOverloaded: boolean;
  /** Set where the last box claims more bytes than the file has left: how many are missing. */
  readonly missingBytes?: number;
}

// XMP specification part 3 (Adobe, 2020), MPEG-4: a uuid box of this type at the top level.
const xmpUserType = 'be7acfcb97a942e89c71999491e3afac';
// A fragmented recording has two boxes a fragment.
const maxTopBoxes = 4096;

/** Looks at the boxes of an MP4 or MOV; undefined where it is none. */
export function mp4Contents(source: ByteSource): Mp4Contents | undefined {
  if (!beginsAsMp4(source.read(0, 8))) return undefined;
  const boxes = isoBoxes(source, 0, source.sizeBytes, maxTopBoxes);
  const moov = firstOfType(boxes, 'moov');
  const packets = [
    ...boxes.filter(({ userType }) => userType === xmpUserType),
    ...quickTimeXmp(source, moov),
  ];
  return {
    ...clipXmp(
      source,
      packets.map(({ bodyStart, end }) => ({ start: bodyStart, end })),
    ),
    moov,
    isOverloaded: moov === undefined ? boxes.length === maxTopBoxes : isOverloaded(source, moov),
    missingBytes: missing(source, boxes.at(-1)?.end ?? 0),
  };
}

/** The same specification for QuickTime: a box called XMP_ in the movie's user data. */
function quickTimeXmp(source: ByteSource, moov: IsoBox | undefined): readonly IsoBox[] {
  const userData = childBoxes(source, moov).filter(({ type }) => type === 'udta');
  return userData.flatMap((box) => childBoxes(source, box)).filter(({ type }) => type === 'XMP_');
}

/** How many bytes the box at the end of the walk claims beyond the end of the file. */
function missing(source: ByteSource, walkedTo: number): number | undefined {
  const head = source.read(walkedTo, 16);
  if (head.length < 8 || !/^[a-z]{4}$/.test(head.toString('latin1', 4, 8))) return undefined;
  const small = head.readUInt32BE(0);
  const size = small === 1 && head.length === 16 ? Number(head.readBigUInt64BE(8)) : small;
  const left = source.sizeBytes - walkedTo;
  return size > left && Number.isSafeInteger(size) ? size - left : undefined;
}

// ffprobe's time grows with the square of their number: 100,000 keys in 4 MB take it minutes.
const mostKeys = 4096;
// Two hours at 2,000 frames a second. A program sets up an index for every sample that is claimed: 50 million of
// them, in a file of 80 KB, cost it more than a gigabyte.
const mostSamples = 16_000_000;

/** Whether the index claims more keys or samples than any writer needs. */
function isOverloaded(source: ByteSource, moov: IsoBox): boolean {
  const keys = firstOfType(metaChildren(source, moov), 'keys');
  if (keys !== undefined && countAt(source, keys.bodyStart + 4) > mostKeys) return true;
  return mp4Tracks(source, moov)
    .filter(({ handler }) => handler !== 'soun') // Plain sound counts every instant as a sample.
    .some(({ sampleTable }) => claimedSamples(source, sampleTable) > mostSamples);
}

/** ISO/IEC 14496-12, 8.7.3: in both forms of the box, the count stands behind the size. */
function claimedSamples(source: ByteSource, sampleTable: IsoBox): number {
  const boxes = childBoxes(source, sampleTable);
  const sizes = firstOfType(boxes, 'stsz') ?? firstOfType(boxes, 'stz2');
  return sizes === undefined ? 0 : countAt(source, sizes.bodyStart + 8);
}

function countAt(source: ByteSource, offset: number): number {
  const bytes = source.read(offset, 4);
  return bytes.length === 4 ? bytes.readUInt32BE(0) : 0;
}

// A movie's metadata keys: names in moov/meta/keys, values by number in moov/meta/ilst. ffprobe shows only some of
// their types; numbers of the others (float64, uint32) vanish there without a word.
const maxKeys = 512;
const maxKeyBytes = 65_536;
const maxValueBytes = 1024;

export function mp4Keys(source: ByteSource, moov: IsoBox): ReadonlyMap<string, string> {
  const meta = metaChildren(source, moov);
  const names = keyNames(source, firstOfType(meta, 'keys'));
  const list = firstOfType(meta, 'ilst');
  const values = new Map<string, string>();
  if (list === undefined) return values;
  for (const item of isoBoxes(source, list.bodyStart, list.end, maxKeys)) {
    const name = names[Buffer.from(item.type, 'latin1').readUInt32BE(0) - 1];
    const value = valueIn(source, item);
    if (name !== undefined && value !== undefined) values.set(name, String(value));
  }
  return values;
}

/** QuickTime's `meta` is a plain box, that of ISO/IEC 14496-12 has a version in front. */
function metaChildren(source: ByteSource, moov: IsoBox): readonly IsoBox[] {
  const meta = firstOfType(childBoxes(source, moov), 'meta');
  if (meta === undefined) return [];
  const plain = isoBoxes(source, meta.bodyStart, meta.end, 64);
  return firstOfType(plain, 'hdlr') === undefined
    ? isoBoxes(source, meta.bodyStart + 4, meta.end, 64)
    : plain;
}

function keyNames(source: ByteSource, keys: IsoBox | undefined): string[] {
  if (keys === undefined || keys.end - keys.bodyStart > maxKeyBytes) return [];
  const table = source.read(keys.bodyStart, keys.end - keys.bodyStart);
  const names: string[] = [];
  for (let at = 8; at + 8 <= table.length && names.length < maxKeys;) {
    const length = table.readUInt32BE(at);
    if (length < 8 || at + length > table.length) break;
    names.push(table.toString('utf8', at + 8, at + length));
    at += length;
  }
  return names;
}

function valueIn(source: ByteSource, item: IsoBox): number | string | undefined {
  const data = firstOfType(childBoxes(source, item), 'data');
  const length = data === undefined ? 0 : data.end - data.bodyStart;
  if (data === undefined || length < 8 || length > maxValueBytes) return undefined;
  const bytes = source.read(data.bodyStart, length);
  return wellKnownValue(bytes.readUIntBE(1, 3), bytes.subarray(8));
}

// QuickTime File Format Specification, "Well-known types"; used by the movie's metadata keys and by timed metadata.
const utf8 = 1;
const utf16 = 2;
const signedInteger = 21;
const unsignedInteger = 22;
const float32 = 23;
const float64 = 24;
const signedWidths: Readonly<Record<number, number>> = { 65: 1, 66: 2, 67: 4, 74: 8 };
const unsignedWidths: Readonly<Record<number, number>> = { 75: 1, 76: 2, 77: 4, 78: 8 };
const longestText = 1024;

/** A value stored with its well-known type; undefined where its length does not fit the type, or it is neither a number nor text. */
export function wellKnownValue(type: number, bytes: Buffer): number | string | undefined {
  if (type === utf8) return untilNul(decodeText(bytes.subarray(0, longestText)));
  if (type === utf16) return untilNul(utf16Text(bytes.subarray(0, longestText)));
  if (type === float32) return bytes.length === 4 ? shortestOfFloat32(bytes.readFloatBE(0)) : undefined;
  if (type === float64) return bytes.length === 8 ? bytes.readDoubleBE(0) : undefined;
  const signed = type === signedInteger ? bytes.length : signedWidths[type];
  const unsigned = type === unsignedInteger ? bytes.length : unsignedWidths[type];
  const width = signed ?? unsigned;
  if (width === undefined || width !== bytes.length) return undefined;
  if (width === 8) return Number(signed === undefined ? bytes.readBigUInt64BE(0) : bytes.readBigInt64BE(0));
  if (width < 1 || width > 4) return undefined;
  return signed === undefined ? bytes.readUIntBE(0, width) : bytes.readIntBE(0, width);
}

function utf16Text(bytes: Buffer): string {
  const swapped = Buffer.from(bytes.subarray(0, bytes.length & ~1)).swap16();
  return swapped.toString('utf16le').replace(/^\uFEFF/, '');
}

function untilNul(text: string): string {
  return text.replace(/\0.*$/s, '');
}

/** 2.8 is stored as 2.7999999523: the shortest decimal that is stored the same is what was meant. */
export function shortestOfFloat32(value: number): number {
  if (!Number.isFinite(value)) return value;
  for (let digits = 6; digits < 9; digits++) {
    const shorter = Number(value.toPrecision(digits));
    if (Math.fround(shorter) === value) return shorter;
  }
  return value;
}
