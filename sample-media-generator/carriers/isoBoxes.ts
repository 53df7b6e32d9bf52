import { latin1, u16, u32, u8 } from './bytes.ts';

/** A box of ISO/IEC 14496-12 (an atom of the QuickTime file format): size, type, payload. */
export function box(type: string, ...parts: readonly Uint8Array[]): Buffer {
  const payload = Buffer.concat(parts);
  return Buffer.concat([u32(payload.length + 8), latin1(type), payload]);
}

export function fullBox(
  type: string,
  version: number,
  flags: number,
  ...parts: readonly Uint8Array[]
): Buffer {
  return box(type, u8(version), u8(flags >>> 16), u16(flags & 0xffff), ...parts);
}

/** A handler box as ISO/IEC 14496-12 8.4.3 has it; QuickTime readers take the name with its closing zero too. */
export function handlerBox(type: string, name: string): Buffer {
  return fullBox('hdlr', 0, 0, u32(0), latin1(type), Buffer.alloc(12), latin1(`${name}\0`));
}

export interface BoxPlace {
  readonly type: string;
  readonly start: number;
  readonly end: number;
}

/** The boxes that lie side by side between two offsets. Only for files of our own making. */
export function boxesIn(bytes: Buffer, from = 0, to = bytes.length): readonly BoxPlace[] {
  const found: BoxPlace[] = [];
  for (let start = from; start + 8 <= to;) {
    const size = bytes.readUInt32BE(start);
    const length = size === 1 ? Number(bytes.readBigUInt64BE(start + 8)) : size;
    if (length < 8) throw new Error(`box of ${length} bytes at ${start}: only 8 and more can be walked`);
    found.push({ type: bytes.toString('latin1', start + 4, start + 8), start, end: start + length });
    start += length;
  }
  return found;
}

/** The payload of the box that a path of types leads to, such as `moov/trak/tkhd`. */
export function boxAt(bytes: Buffer, path: string): Buffer | undefined {
  return path.split('/').reduce<Buffer | undefined>((within, type) => {
    const place = within && boxesIn(within).find((each) => each.type === type);
    return place && within.subarray(place.start + 8, place.end);
  }, bytes);
}

/**
 * Puts more boxes at the end of `moov`. The chunk offsets stay right only because ffmpeg writes `moov` last,
 * behind the media data.
 */
export function withBoxesInMoov(file: Buffer, ...more: readonly Buffer[]): Buffer {
  const moov = lastMoov(file);
  return Buffer.concat([file.subarray(0, moov.start), box('moov', file.subarray(moov.start + 8), ...more)]);
}

function lastMoov(file: Buffer): BoxPlace {
  const last = boxesIn(file).at(-1);
  if (last?.type !== 'moov') throw new Error(`the last box must be moov: it is ${last?.type ?? 'absent'}`);
  return last;
}
