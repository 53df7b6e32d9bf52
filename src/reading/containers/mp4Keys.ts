import type { ByteSource } from './byteSource.ts';
import { childBoxes, firstOfType, isoBoxes, type IsoBox } from './isoBoxes.ts';
import { wellKnownValue } from './wellKnownTypes.ts';

// A movie's metadata keys: names in moov/meta/keys, values by number in moov/meta/ilst. ffprobe shows only some of
// their types; numbers of the others (float64, uint32) vanish there without a word.
const maxKeys = 512;
const maxKeyBytes = 65_536;
const maxValueBytes = 1024;

/** Values by key name; numbers as text. */
export function mp4Keys(source: ByteSource, moov: IsoBox): ReadonlyMap<string, string> {
  const inside = metaChildren(source, firstOfType(childBoxes(source, moov), 'meta'));
  const names = keyNames(source, firstOfType(inside, 'keys'));
  const list = firstOfType(inside, 'ilst');
  const values = new Map<string, string>();
  if (list === undefined) return values;
  for (const item of isoBoxes(source, list.bodyStart, list.end, maxKeys).boxes) {
    const name = names[Buffer.from(item.type, 'latin1').readUInt32BE(0) - 1];
    const value = valueIn(source, item);
    if (name !== undefined && value !== undefined) values.set(name, String(value));
  }
  return values;
}

// ffprobe's time grows with the square of their number: 100,000 keys in 4 MB take it minutes.
const mostKeys = 4096;

/** Whether a movie holds more keys than any writer needs. */
export function hasTooManyKeys(source: ByteSource, moov: IsoBox): boolean {
  const keys = firstOfType(metaChildren(source, firstOfType(childBoxes(source, moov), 'meta')), 'keys');
  const head = keys === undefined ? Buffer.alloc(0) : source.read(keys.bodyStart, 8);
  return head.length === 8 && head.readUInt32BE(4) > mostKeys;
}

/** QuickTime's `meta` is a plain box, that of ISO/IEC 14496-12 has a version in front. */
function metaChildren(source: ByteSource, meta: IsoBox | undefined): readonly IsoBox[] {
  if (meta === undefined) return [];
  const plain = isoBoxes(source, meta.bodyStart, meta.end, 64).boxes;
  return firstOfType(plain, 'hdlr') === undefined
    ? isoBoxes(source, meta.bodyStart + 4, meta.end, 64).boxes
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
  return wellKnownValue(bytes.readUIntBE(1, 3), Buffer.from(bytes.subarray(8)));
}
