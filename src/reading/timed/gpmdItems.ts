import { shortestOfFloat32 } from '../../containers/mp4.ts';

// Telemetry by four-character keys (sample entry `gpmd`), as its published description has it, all big-endian: 4 bytes
// of key, 1 byte of type, 1 byte size of one structure, 2 bytes how many follow; then the structures, filled up to a
// multiple of four. Type 0 holds more items. SCAL divides what follows in the same stream, by one number or by one for
// each element; TYPE says which elements a structure of type "?" has. (Layout checked against a general-purpose reader.)

interface GpmdItem {
  readonly key: string;
  /** The type's character; "\0" for an item that holds others. */
  readonly type: string;
  readonly structureBytes: number;
  readonly body: Buffer;
}

const headBytes = 8;
// Real payloads have some hundred.
const maxItems = 4096;
// A device holds streams, and streams hold values; a stream in a stream is allowed.
const maxDepth = 6;
const container = '\0';

export type GpmdStream = readonly GpmdItem[];

/** The streams of a payload; cut-off items are left out. */
export function gpmdStreams(payload: Buffer): readonly GpmdStream[] {
  const streams: GpmdItem[][] = [];
  const left = { items: maxItems };
  const walk = (bytes: Buffer, depth: number): void => {
    const items = itemsOf(bytes, left);
    const values = items.filter(({ type }) => type !== container);
    if (values.length > 0) streams.push(values);
    if (depth >= maxDepth) return;
    for (const { type, body } of items) if (type === container) walk(body, depth + 1);
  };
  walk(payload, 0);
  return streams;
}

function itemsOf(bytes: Buffer, left: { items: number }): GpmdItem[] {
  const items: GpmdItem[] = [];
  for (let at = 0; at + headBytes <= bytes.length && left.items > 0; left.items--) {
    const structureBytes = bytes[at + 5]!;
    const start = at + headBytes;
    const end = start + structureBytes * bytes.readUInt16BE(at + 6);
    if (end > bytes.length) break;
    const key = bytes.toString('latin1', at, at + 4);
    const type = String.fromCharCode(bytes[at + 4]!);
    items.push({ key, type, structureBytes, body: bytes.subarray(start, end) });
    at = start + Math.ceil((end - start) / 4) * 4;
  }
  return items;
}

/** The first stream with a key: of several, as of a camera with two lenses, it alone counts. */
export function streamWith(streams: readonly GpmdStream[], key: string): GpmdStream | undefined {
  return streams.find((stream) => itemUnder(stream, key) !== undefined);
}

function itemUnder(stream: GpmdStream, key: string): GpmdItem | undefined {
  return stream.find((item) => item.key === key);
}

export function textUnder(stream: GpmdStream, key: string): string | undefined {
  return itemUnder(stream, key)
    ?.body.toString('latin1', 0, 256)
    .replace(/\0[^]*$/, '')
    .trim();
}

/** The numbers under a key as they are stored, undivided; none where there are none. */
export function numbersUnder(stream: GpmdStream, key: string): readonly number[] {
  const item = itemUnder(stream, key);
  if (item === undefined) return [];
  const values = rowsOf(item).flat();
  return item.type === 'f' ? values.map(shortestOfFloat32) : values;
}

/** The structures under a key as rows of numbers, divided by SCAL: by one number for all, or one for each element. */
export function rowsUnder(stream: GpmdStream, key: string): readonly (readonly number[])[] {
  const item = itemUnder(stream, key);
  if (item === undefined) return [];
  const rows = rowsOf(item, textUnder(stream, 'TYPE'));
  const scale = itemUnder(stream, 'SCAL');
  const scales = scale === undefined ? [] : rowsOf(scale).flat();
  return scales.length === 0
    ? rows
    : rows.map((row) => row.map((value, at) => quotient(value, scales[at % scales.length]!)));
}

function quotient(value: number, scale: number): number {
  return scale === 0 ? Number.NaN : value / scale;
}

interface Element {
  readonly bytes: number;
  readonly read: (body: Buffer, at: number) => number;
}

const elements: Readonly<Record<string, Element>> = {
  b: { bytes: 1, read: (body, at) => body.readInt8(at) },
  B: { bytes: 1, read: (body, at) => body.readUInt8(at) },
  s: { bytes: 2, read: (body, at) => body.readInt16BE(at) },
  S: { bytes: 2, read: (body, at) => body.readUInt16BE(at) },
  l: { bytes: 4, read: (body, at) => body.readInt32BE(at) },
  L: { bytes: 4, read: (body, at) => body.readUInt32BE(at) },
  j: { bytes: 8, read: (body, at) => Number(body.readBigInt64BE(at)) },
  J: { bytes: 8, read: (body, at) => Number(body.readBigUInt64BE(at)) },
  f: { bytes: 4, read: (body, at) => body.readFloatBE(at) },
  d: { bytes: 8, read: (body, at) => body.readDoubleBE(at) },
  // Fixed point: as many bits before the point as behind it.
  q: { bytes: 4, read: (body, at) => body.readInt32BE(at) / 2 ** 16 },
  Q: { bytes: 8, read: (body, at) => Number(body.readBigInt64BE(at)) / 2 ** 32 },
};

/** The structures of an item as rows; none where they are no numbers. `structure` tells the elements of the type "?". */
function rowsOf(item: GpmdItem, structure = ''): readonly (readonly number[])[] {
  const row = elementsOf(item, structure);
  const rows: number[][] = [];
  if (row.length === 0) return rows;
  for (let start = 0; start + item.structureBytes <= item.body.length; start += item.structureBytes) {
    let at = start;
    rows.push(
      row.map(({ bytes, read }) => {
        at += bytes;
        return read(item.body, at - bytes);
      }),
    );
  }
  return rows;
}

/** The elements of one structure; none where they do not fill it. */
function elementsOf({ type, structureBytes }: GpmdItem, structure: string): readonly Element[] {
  const element = elements[type];
  if (element !== undefined) {
    const count = structureBytes / element.bytes;
    return Number.isInteger(count) ? Array.from({ length: count }, () => element) : [];
  }
  if (type !== '?') return [];
  const row = structure.split('').flatMap((character) => elements[character] ?? []);
  const bytes = row.reduce((sum, each) => sum + each.bytes, 0);
  return row.length === structure.length && bytes === structureBytes ? row : [];
}
