import type { PictureTable } from '../../containers/mp4Pictures.ts';

// A movie in fragments can be read as it comes, and each fragment says when its samples are decoded and shown (ISO/IEC
// 14496-12, 8.8). So ffmpeg is handed single pictures of a clip, with the clip's own sample entries before them, and
// says of each that it decodes which one it is. Unlike a bare stream of pictures this holds every codec as it is stored.

/** Ticks are microseconds, as ffmpeg says times. */
const ticksPerSecond = 1_000_000;

/** What stands before the fragments: a movie without samples. */
export function fragmentsHead({ fileType, sampleEntries, width, height }: PictureTable): Buffer {
  const sampleTable = box('stbl', [
    sampleEntries,
    ...['stts', 'stsc', 'stco'].map((type) => box(type, [words(0, 0)])),
    box('stsz', [words(0, 0, 0)]),
  ]);
  const dataReference = box('dinf', [box('dref', [words(0, 1), box('url ', [words(1)])])]);
  const media = box('mdia', [
    box('mdhd', [words(0, 0, 0, ticksPerSecond, 0, 0)]),
    box('hdlr', [words(0, 0), Buffer.from('vide'), words(0, 0, 0, 0)]),
    box('minf', [box('vmhd', [words(1, 0, 0)]), dataReference, sampleTable]),
  ]);
  const trackHeader = box('tkhd', [
    words(7, 0, 0, 1, 0, 0, 0, 0, 0, 0, ...upright, width << 16, height << 16),
  ]);
  const movieHeader = box('mvhd', [
    words(0, 0, 0, ticksPerSecond, 0, 0x10000, 0x1000000, 0, 0, ...upright, 0, 0, 0, 0, 0, 0, 2),
  ]);
  const fragmented = box('mvex', [box('trex', [words(0, 1, 1, 0, 0, 0)])]);
  return Buffer.concat([fileType, box('moov', [movieHeader, box('trak', [trackHeader, media]), fragmented])]);
}

const upright = [0x10000, 0, 0, 0, 0x10000, 0, 0, 0, 0x40000000];

interface FragmentTimes {
  readonly decodedTicks: number;
  readonly shownTicks: number;
  readonly isKey: boolean;
}

/** What stands before the bytes of one sample, so that together they are a fragment. */
export function fragmentStart(sizeBytes: number, times: FragmentTimes): Buffer {
  const run = (dataOffset: number): Buffer =>
    box('trun', [
      // One sample with its duration, size, flags and delay; the delay may be negative.
      words(0x01000f01, 1, dataOffset, 1, sizeBytes),
      words(times.isKey ? keyFlags : dependentFlags, times.shownTicks - times.decodedTicks),
    ]);
  const fragment = (dataOffset: number): Buffer => {
    // Offsets count from the start of the fragment.
    const header = box('tfhd', [words(0x20000, 1)]);
    const time = box('tfdt', [words(0x1000000, times.decodedTicks / 2 ** 32, times.decodedTicks)]);
    return box('moof', [
      box('mfhd', [words(0, times.decodedTicks)]),
      box('traf', [header, time, run(dataOffset)]),
    ]);
  };
  const start = fragment(fragment(0).length + 8);
  const data = Buffer.alloc(8, 'mdat', 'latin1');
  data.writeUInt32BE(sizeBytes + 8, 0);
  data.write('mdat', 4, 'latin1');
  return Buffer.concat([start, data]);
}

/** Sample flags (8.8.3.1): depends on no other; depends on others, and decoding cannot begin there. */
const keyFlags = 0x2000000;
const dependentFlags = 0x1010000;

function box(type: string, parts: readonly Buffer[]): Buffer {
  const bytes = Buffer.concat([words(0, 0), ...parts]);
  bytes.writeUInt32BE(bytes.length, 0);
  bytes.write(type, 4, 'latin1');
  return bytes;
}

/** Numbers of 32 bits; of larger ones the lower half. */
function words(...values: readonly number[]): Buffer {
  const bytes = Buffer.alloc(4 * values.length);
  values.forEach((value, i) => bytes.writeInt32BE(value | 0, 4 * i));
  return bytes;
}

/**
 * HEVC: makes a key frame that others may refer back across (CRA) one at which a stream was cut (BLA), for the pictures
 * before it are not there: so a decoder counts anew from it (Recommendation ITU-T H.265, 7.4.2.2 and 8.1.3). Changes the
 * bytes where they are.
 */
export function cutBefore(sample: Buffer, lengthBytes: number): void {
  for (let at = 0; at + lengthBytes + 2 <= sample.length;) {
    const length = sample.readUIntBE(at, lengthBytes);
    const head = at + lengthBytes;
    if (((sample[head]! >> 1) & 63) === cleanRandomAccess)
      sample[head] = (sample[head]! & 0x81) | (brokenLink << 1);
    at = head + length;
  }
}

const cleanRandomAccess = 21;
const brokenLink = 16;

/** How many bytes say how long a unit of HEVC is; undefined of other codecs (ISO/IEC 14496-15, 8.3.3.1). */
export function hevcLengthBytes({ codec, sampleEntries }: PictureTable): number | undefined {
  if (!hevcEntries.has(codec)) return undefined;
  const at = sampleEntries.indexOf('hvcC', 0, 'latin1');
  return at < 0 || at + 26 > sampleEntries.length ? undefined : (sampleEntries[at + 4 + 21]! & 3) + 1;
}

const hevcEntries = new Set(['hvc1', 'hev1', 'dvh1', 'dvhe']);
