import type { RangeName, Refusal } from '../domain/recording.ts';
import { codedTransfers } from '../domain/transferCurves.ts';
import { bytesSource, partSource, type ByteSource } from './byteSource.ts';
import { firstOfType, fullBoxBody, isoBoxes, type IsoBox } from './isoBoxes.ts';
import {
  maxExifBytes,
  withoutExifSignature,
  maxXmpBytes,
  type PictureHeader,
  type StillContents,
} from './contents.ts';

const maxTableBytes = 2 * 1024 * 1024;

/** Reads the metadata items of an HEIF or AVIF file (ISO/IEC 23008-12 annex A). */
export function heifContents(source: ByteSource, format: 'heif' | 'avif'): StillContents {
  const exif: ByteSource[] = [];
  const xmp: Uint8Array[] = [];
  const refusals: Refusal[] = [];
  const refuse = (raw: string, reason: string) =>
    refusals.push({ what: 'HEIF items', raw, source: 'HEIF', reason });
  /** Buffer's own bounds checks guard every read; what one table lacks takes nothing from the others. */
  const readTable = <T>(name: string, read: () => T): T | undefined => {
    try {
      return read();
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
      refuse(name, 'ends too early');
      return undefined;
    }
  };
  const meta = metaParts(source);
  if (meta === undefined) {
    refuse('meta', 'it holds no table of its items that can be read');
    return { format, picture: {}, exif, xmp, refusals };
  }
  const properties = readTable('meta', () => pictureProperties(source, meta)) ?? [];
  const values = properties.map((box) => readTable(box.type, () => propertyValues(source, box)));
  const picture: PictureHeader = Object.assign({}, ...values);
  for (const { entry, location } of readTable('meta', () => metadataItems(source, meta)) ?? []) {
    const maxBytes = entry.type === 'Exif' ? maxExifBytes : maxXmpBytes;
    const bytes = location && itemBytes(source, meta.get('idat'), location, maxBytes);
    if (!bytes) refuse(`item ${entry.id}`, `cut short, or larger than ${maxBytes} bytes`);
    else if (entry.type === 'Exif') exif.push(exifBlock(bytes));
    else xmp.push(bytes);
  }
  return { format, picture, exif, xmp, refusals };
}

type MetaParts = ReadonlyMap<string, IsoBox>;

function metaParts(source: ByteSource): MetaParts | undefined {
  const meta = firstOfType(isoBoxes(source, 0, source.sizeBytes, 256), 'meta');
  if (!meta) return undefined;
  return new Map(isoBoxes(source, meta.bodyStart + 4, meta.end, 64).map((box) => [box.type, box]));
}

// The item opens with the distance from its fifth byte to the TIFF header (ISO/IEC 23008-12 A.2.1); some writers say 0
// and put the signature of JPEG segments there, and some leave the distance out.
function exifBlock(bytes: Buffer): ByteSource {
  if (/^(II\*\0|MM\0\*)/.test(bytes.toString('latin1', 0, 4))) return bytesSource(bytes);
  const distance = bytes.length < 4 ? 0 : bytes.readUInt32BE(0);
  return withoutExifSignature(partSource(bytesSource(bytes), 4 + distance, bytes.length));
}

// Items: what there is, and where.

interface ItemEntry {
  readonly id: number;
  readonly type: string;
  /** Only for items of type `mime`. */
  readonly contentType?: string;
}

/** Where the bytes of an item lie, as extents of the file or of the `idat` box. */
interface ItemLocation {
  readonly inItemData: boolean;
  readonly extents: readonly { readonly offset: number; readonly length: number }[];
}

const xmpContentType = 'application/rdf+xml';
const maxItems = 10_000;
const maxMetadataItems = 16;
const maxExtents = 64;

function metadataItems(
  source: ByteSource,
  meta: MetaParts,
): { readonly entry: ItemEntry; readonly location: ItemLocation | undefined }[] {
  const iinf = meta.get('iinf');
  const iloc = meta.get('iloc');
  if (!iinf || !iloc) return [];
  const entries = itemEntries(source, iinf)
    .filter(({ type, contentType }) => type === 'Exif' || (type === 'mime' && contentType === xmpContentType))
    .slice(0, maxMetadataItems);
  const locations = itemLocations(source, iloc, new Set(entries.map((entry) => entry.id)));
  return entries.map((entry) => ({ entry, location: locations.get(entry.id) }));
}

/** Item information (ISO/IEC 14496-12, 8.11.6). Throws RangeError where the table ends inside an entry. */
function itemEntries(source: ByteSource, iinf: IsoBox): ItemEntry[] {
  const table = fullBoxBody(source, iinf, maxTableBytes);
  if (!table) return [];
  const bytes = table.body;
  const entries: ItemEntry[] = [];
  for (let at = table.version === 0 ? 2 : 4; at + 8 <= bytes.length && entries.length < maxItems;) {
    const size = bytes.readUInt32BE(at);
    if (size < 8 || at + size > bytes.length) break;
    const entry = itemEntry(bytes.subarray(at, at + size));
    if (entry) entries.push(entry);
    at += size;
  }
  return entries;
}

function itemEntry(box: Buffer): ItemEntry | undefined {
  const version = box.readUInt8(8);
  // Versions 0 and 1 name no item type; images use 2, or 3 for 32-bit item numbers.
  if (box.toString('latin1', 4, 8) !== 'infe' || version < 2) return undefined;
  const idBytes = version === 2 ? 2 : 4;
  const typeAt = 12 + idBytes + 2;
  const entry = { id: box.readUIntBE(12, idBytes), type: box.toString('latin1', typeAt, typeAt + 4) };
  if (entry.type !== 'mime') return entry;
  const nameEnd = box.indexOf(0, typeAt + 4);
  const typeEnd = nameEnd < 0 ? -1 : box.indexOf(0, nameEnd + 1);
  return typeEnd < 0 ? entry : { ...entry, contentType: box.toString('latin1', nameEnd + 1, typeEnd) };
}

/** Item locations of the wanted items (ISO/IEC 14496-12, 8.11.3). Throws RangeError where the table is cut short. */
function itemLocations(
  source: ByteSource,
  iloc: IsoBox,
  wanted: ReadonlySet<number>,
): ReadonlyMap<number, ItemLocation> {
  const table = fullBoxBody(source, iloc, maxTableBytes);
  const locations = new Map<number, ItemLocation>();
  if (!table || table.version > 2) return locations;
  const take = taker(table.body);
  const sizes = take(2);
  const offsetBytes = sizes >> 12;
  const lengthBytes = (sizes >> 8) & 15;
  const baseBytes = (sizes >> 4) & 15;
  const indexBytes = table.version === 0 ? 0 : sizes & 15;
  const wide = table.version === 2 ? 4 : 2;
  const itemCount = take(wide);
  for (let item = 0; item < itemCount && item < maxItems; item += 1) {
    const id = take(wide);
    const method = table.version === 0 ? 0 : take(2) & 15;
    take(2);
    const base = take(baseBytes);
    const extentCount = take(2);
    const extents = [];
    for (let extent = 0; extent < extentCount; extent += 1) {
      take(indexBytes);
      extents.push({ offset: base + take(offsetBytes), length: take(lengthBytes) });
    }
    if (wanted.has(id) && method <= 1 && extentCount <= maxExtents) {
      locations.set(id, { inItemData: method === 1, extents });
    }
  }
  return locations;
}

/** Takes big-endian integers of 0, 2, 4 or 8 bytes one after the other; RangeError beyond the end. */
function taker(bytes: Buffer): (size: number) => number {
  let at = 0;
  return (size) => {
    const start = at;
    at += size;
    if (size === 0) return 0;
    return size === 8 ? Number(bytes.readBigUInt64BE(start)) : bytes.readUIntBE(start, size);
  };
}

function itemBytes(
  file: ByteSource,
  idat: IsoBox | undefined,
  { inItemData, extents }: ItemLocation,
  maxBytes: number,
): Buffer | undefined {
  if (inItemData && !idat) return undefined;
  const source = inItemData && idat ? partSource(file, idat.bodyStart, idat.end - idat.bodyStart) : file;
  // A length of 0 means "to the end of the file" (8.11.3.3): only sensible for a single extent.
  const places = extents.map(({ offset, length }) => ({
    offset,
    length: length || Math.max(0, source.sizeBytes - offset),
  }));
  const totalBytes = places.reduce((sum, { length }) => sum + length, 0);
  if (totalBytes === 0 || totalBytes > maxBytes) return undefined;
  const bytes = Buffer.concat(places.map(({ offset, length }) => source.read(offset, length)));
  return bytes.length === totalBytes ? bytes : undefined;
}

// Properties: what the container says of the picture.

const maxProperties = 1024;

/** The properties of the primary item (ISO/IEC 23008-12, 6.5; ISO/IEC 14496-12, 8.11.4 and 8.11.14). */
function pictureProperties(source: ByteSource, meta: MetaParts): readonly IsoBox[] {
  const pitm = meta.get('pitm');
  const iprp = meta.get('iprp');
  const primary = pitm && fullBoxBody(source, pitm, 64);
  if (!primary || !iprp) return [];
  const itemId = primary.version === 0 ? primary.body.readUInt16BE(0) : primary.body.readUInt32BE(0);
  const parts = isoBoxes(source, iprp.bodyStart, iprp.end, 64);
  const ipco = firstOfType(parts, 'ipco');
  if (!ipco) return [];
  const properties = isoBoxes(source, ipco.bodyStart, ipco.end, maxProperties);
  const indexes = parts
    .filter((box) => box.type === 'ipma')
    .flatMap((ipma) => associations(source, ipma, itemId));
  return [...new Set(indexes)].flatMap((index) => properties[index - 1] ?? []);
}

function associations(source: ByteSource, ipma: IsoBox, itemId: number): number[] {
  const table = fullBoxBody(source, ipma, maxTableBytes);
  if (!table || table.body.length < 4) return [];
  const bytes = table.body;
  const idBytes = table.version === 0 ? 2 : 4;
  const indexBytes = (table.flags & 1) === 0 ? 1 : 2;
  // The highest bit says "essential" and is no part of the index.
  const mask = indexBytes === 1 ? 0x7f : 0x7fff;
  const entryCount = bytes.readUInt32BE(0);
  let at = 4;
  for (let entry = 0; entry < entryCount; entry += 1) {
    const id = bytes.readUIntBE(at, idBytes);
    const count = bytes.readUInt8(at + idBytes);
    const start = at + idBytes + 1;
    const index = (_: unknown, each: number) =>
      bytes.readUIntBE(start + each * indexBytes, indexBytes) & mask;
    if (id === itemId) return Array.from({ length: count }, index);
    at = start + count * indexBytes;
  }
  return [];
}

function propertyValues(source: ByteSource, box: IsoBox): PictureHeader {
  const bytes = source.read(box.bodyStart, Math.min(box.end - box.bodyStart, 64));
  switch (box.type) {
    case 'ispe':
      return { width: bytes.readUInt32BE(4), height: bytes.readUInt32BE(8) };
    case 'clap':
      return cleanAperture(bytes);
    case 'pixi':
      return { bitDepth: bytes.readUInt8(5) };
    case 'irot':
      // Counted anticlockwise in quarter turns (ISO/IEC 23008-12, 6.5.10).
      return { rotationDegrees: (360 - (bytes.readUInt8(0) & 3) * 90) % 360 };
    case 'colr':
      return colour(bytes);
    default:
      return {};
  }
}

/** Width and height as rationals, in the place of those of the whole picture (ISO/IEC 14496-12, 12.1.4). */
function cleanAperture(bytes: Buffer): PictureHeader {
  const width = Math.round(bytes.readUInt32BE(0) / bytes.readUInt32BE(4));
  const height = Math.round(bytes.readUInt32BE(8) / bytes.readUInt32BE(12));
  return width > 0 && height > 0 && Number.isFinite(width + height) ? { width, height } : {};
}

function colour(bytes: Buffer): PictureHeader {
  if (bytes.toString('latin1', 0, 4) !== 'nclx') return { colour: 'profile' };
  const code = bytes.readUInt16BE(6);
  const transfer = codedTransfers.find((each) => each.code === code)?.transfer;
  const range: RangeName = (bytes.readUInt8(10) & 0x80) === 0 ? 'narrow' : 'full';
  return transfer ? { transfer, range } : { range };
}
