import type { ByteSource } from '../containers/byteSource.ts';
import type { Mp4Sample } from '../containers/mp4Samples.ts';

/** The bytes of one metadata sample and when they hold, in seconds from the first frame. */
export interface TimedBytes {
  readonly startSeconds: number;
  readonly endSeconds: number;
  readonly bytes: Buffer;
}

// One row of numbers needs some hundred bytes; what is longer is not that.
const maxSampleBytes = 65_536;
const maxTrackBytes = 64 << 20;

/** Reads sample after sample by its place; samples that are empty, cut off or far too long are passed over. */
export function* sampleBytes(source: ByteSource, samples: readonly Mp4Sample[]): Generator<TimedBytes> {
  let left = maxTrackBytes;
  for (const { startSeconds, endSeconds, offset, sizeBytes } of samples) {
    if (sizeBytes === 0 || sizeBytes > maxSampleBytes) continue;
    left -= sizeBytes;
    if (left < 0) return;
    const bytes = source.read(offset, sizeBytes);
    if (bytes.length === sizeBytes) yield { startSeconds, endSeconds, bytes };
  }
}
