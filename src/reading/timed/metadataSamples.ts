import type { ByteSource } from '../containers/byteSource.ts';
import type { Mp4Sample } from '../containers/mp4Samples.ts';

/** The bytes of one metadata sample and when they hold, in seconds from the first frame. */
export interface TimedBytes {
  readonly startSeconds: number;
  readonly endSeconds: number;
  readonly bytes: Buffer;
}

/** How much of a track is read. */
export interface SampleBounds {
  readonly sampleBytes: number;
  readonly trackBytes: number;
}

/** One row of numbers needs some hundred bytes; what is longer is not that. */
export const rowBounds: SampleBounds = { sampleBytes: 65_536, trackBytes: 64 << 20 };
/** All sensors for a second, of which turning alone can be 100,000 bytes; two hours of that. */
export const payloadBounds: SampleBounds = { sampleBytes: 1 << 20, trackBytes: 768 << 20 };

/** Reads sample after sample by its place; samples that are empty, cut off or far too long are passed over. */
export function* sampleBytes(
  source: ByteSource,
  samples: readonly Mp4Sample[],
  bounds = rowBounds,
): Generator<TimedBytes> {
  let left = bounds.trackBytes;
  for (const { startSeconds, endSeconds, offset, sizeBytes } of samples) {
    if (sizeBytes === 0 || sizeBytes > bounds.sampleBytes) continue;
    left -= sizeBytes;
    if (left < 0) return;
    const bytes = source.read(offset, sizeBytes);
    if (bytes.length === sizeBytes) yield { startSeconds, endSeconds, bytes };
  }
}

/** Why not all samples of a track can be read; undefined where they can. */
export function leftOutBecause(
  source: ByteSource,
  samples: readonly Mp4Sample[],
  bounds = rowBounds,
): string | undefined {
  const outside = samples.filter(({ offset, sizeBytes }) => offset + sizeBytes > source.sizeBytes).length;
  if (outside > 0) return `${outside} of ${samples.length} samples lie beyond the end of the file`;
  const long = samples.filter(({ sizeBytes }) => sizeBytes > bounds.sampleBytes).length;
  if (long > 0) return `${long} of ${samples.length} samples are longer than ${bounds.sampleBytes} bytes`;
  const bytes = samples.reduce((sum, { sizeBytes }) => sum + sizeBytes, 0);
  return bytes > bounds.trackBytes ? `it is longer than ${bounds.trackBytes} bytes` : undefined;
}
