import { writeFile } from 'node:fs/promises';
import { latin1, u16Le, u32Le, u64Le } from './bytes.ts';
import type { CarrierMaker } from './truth.ts';

// What high-speed cameras write (.cine), by its published description: a header, a bitmap's header, a block of settings,
// a table of where the pictures lie, the pictures. All little-endian.

const WIDTH = 64;
const HEIGHT = 48;
const FRAMES = 12;
const FRAMES_PER_SECOND = 4000;
const SHUTTER_NANOSECONDS = 50_000;

const HEADER_BYTES = 44;
const BITMAP_BYTES = 40;
const SETTINGS_BYTES = 10_000;
/** From the start of the settings. */
const PLACES = { mark: 140, length: 142, flip: 760, rate: 768, bits: 896, shutter: 1568 } as const;

function header(): Buffer {
  const settingsAt = HEADER_BYTES + BITMAP_BYTES;
  const offsets = [HEADER_BYTES, settingsAt, settingsAt + SETTINGS_BYTES];
  const counts = [0, FRAMES, 0, FRAMES];
  return Buffer.concat([
    latin1('CI'),
    ...[HEADER_BYTES, 0, 1].map(u16Le),
    ...[...counts, ...offsets].map(u32Le),
    u64Le(0n),
  ]);
}

function bitmapHeader(): Buffer {
  const size = [BITMAP_BYTES, WIDTH, HEIGHT].map(u32Le);
  return Buffer.concat([...size, u16Le(1), u16Le(8), u32Le(0), u32Le(WIDTH * HEIGHT), Buffer.alloc(16)]);
}

function settings(): Buffer {
  const block = Buffer.alloc(SETTINGS_BYTES);
  block.write('ST', PLACES.mark, 'latin1');
  block.writeUInt16LE(SETTINGS_BYTES, PLACES.length);
  block.writeUInt32LE(1, PLACES.flip);
  block.writeUInt32LE(FRAMES_PER_SECOND, PLACES.rate);
  block.writeUInt32LE(8, PLACES.bits);
  block.writeUInt32LE(SHUTTER_NANOSECONDS, PLACES.shutter);
  return block;
}

function picture(frame: number): Buffer {
  const pixels = Buffer.alloc(WIDTH * HEIGHT);
  for (let at = 0; at < pixels.length; at++) pixels[at] = 40 + (((at % WIDTH) + frame) % WIDTH) * 2;
  return Buffer.concat([u32Le(8), u32Le(pixels.length), pixels]);
}

export const cineClip: CarrierMaker = {
  file: 'CINE0001.CINE',
  make: async (path) => {
    const pictures = Array.from({ length: FRAMES }, (_, frame) => picture(frame));
    const head = Buffer.concat([header(), bitmapHeader(), settings()]);
    const first = head.length + FRAMES * 8;
    const table = pictures.map((each, frame) => u64Le(BigInt(first + frame * each.length)));
    await writeFile(path, Buffer.concat([head, ...table, ...pictures]));
    return {
      carrier: 'high-speed',
      what: 'a high-speed clip whose settings hold the exposure in nanoseconds',
      frames: FRAMES,
      clip: { exposureSeconds: 5e-5, captureFramesPerSecond: FRAMES_PER_SECOND },
      samples: [],
    };
  },
};
