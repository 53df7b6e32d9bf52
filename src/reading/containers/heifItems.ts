import type { ByteSource } from './byteSource.ts';
import { fullBoxBody, type IsoBox } from './isoBoxes.ts';

/** Where the bytes of an item lie, as extents of the file or of the `idat` box. */
export interface ItemLocation {
  readonly inItemData: boolean;
  readonly extents: readonly { readonly offset: number; readonly length: number }[];
}

export interface ItemEntry {
  readonly id: number;
  readonly type: string;
  /** Only for items of type `mime`. */
  readonly contentType?: string;
}

const maxTableBytes = 2 * 1024 * 1024;
const maxItems = 10_000;
const maxExtents = 64;

/** Item information (ISO/IEC 14496-12, 8.11.6). Throws RangeError where the table ends inside an entry. */
export function itemEntries(source: ByteSource, iinf: IsoBox): ItemEntry[] {
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
export function itemLocations(
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
