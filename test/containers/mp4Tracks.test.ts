import { expect, test } from 'vitest';
import { bytesSource } from '../../src/containers/byteSource.ts';
import { mp4Contents } from '../../src/containers/mp4.ts';
import { mp4Tracks, mp4Samples } from '../../src/containers/mp4Tracks.ts';
import { sampleBytes } from '../../src/reading/timed/timedCarriers.ts';
import { movieFile, sampleEntry, type MovieTrack } from '../reading/timed/isoMovie.ts';

const bounds = { sampleBytes: 65_536, trackBytes: 64 << 20 };
const seven = [1, 2, 3, 4, 5, 6, 7].map((value) => ({ ticks: 25, bytes: Buffer.alloc(value, value) }));
const plain: MovieTrack = { entry: sampleEntry('camm'), ticksPerSecond: 100, samples: seven };

function read(movie: MovieTrack) {
  const source = bytesSource(movieFile(movie));
  const [track] = mp4Tracks(source, mp4Contents(source)!.moov!);
  const table = mp4Samples(source, track!);
  return { track, table, bytes: [...sampleBytes(source, table.samples, bounds)] };
}

test.each([
  ['one chunk', plain],
  ['chunks of three and a last one of one', { ...plain, samplesPerChunk: 3 }],
  ['a chunk for each sample', { ...plain, samplesPerChunk: 1 }],
  ['64-bit chunk offsets', { ...plain, samplesPerChunk: 2, wideOffsets: true }],
])('mp4Samples() finds every sample in %s', (_, movie) => {
  const { track, table, bytes } = read(movie);
  expect(track).toMatchObject({ handler: 'meta', entryType: 'camm', ticksPerSecond: 100, shiftSeconds: 0 });
  expect(table.stoppedBecause).toBeUndefined();
  // 25 ticks of 1/100 s each.
  expect(table.samples.map(({ startSeconds }) => startSeconds)).toEqual([0, 0.25, 0.5, 0.75, 1, 1.25, 1.5]);
  expect(table.samples.at(-1)?.endSeconds).toBe(1.75);
  expect(bytes.map((one) => one.bytes)).toEqual(seven.map((one) => one.bytes));
});

// ISO/IEC 14496-12, 8.6.6: an empty edit delays, the first real one starts at its media time.
test('an edit list moves the samples', () => {
  expect(
    read({
      ...plain,
      edits: [
        [500, -1],
        [1000, 25],
      ],
    }).table.samples[0]?.startSeconds,
  ).toBe(0.25);
  expect(read({ ...plain, edits: [[1000, 50]] }).table.samples[0]?.startSeconds).toBe(-0.5);
});

test('a size table that claims more samples than it lists is refused', () => {
  const { table } = read({ ...plain, claimedSamples: 8 });
  expect(table).toEqual({ samples: [], stoppedBecause: 'a part of the sample table is missing or too long' });
});

test('of four milliard samples of one size, no more are read than have a time, and never more than the limit', () => {
  const file = movieFile(plain);
  const write = (type: string, at: number, value: number) =>
    file.writeUInt32BE(value, file.indexOf(type) + 4 + at);
  write('stsz', 4, 4);
  write('stsz', 8, 0xffffffff);
  write('stsc', 12, 0xffffffff);
  const table = () => {
    const source = bytesSource(file);
    const [track] = mp4Tracks(source, mp4Contents(source)!.moov!);
    return mp4Samples(source, track!);
  };
  expect(table().samples).toHaveLength(7);
  write('stts', 8, 0xffffffff);
  expect(table().samples).toHaveLength(300_000);
  expect(table().stoppedBecause).toBe('there are more than 300000 samples');
});

test('samples without a time or a place end the table with a sentence', () => {
  const file = movieFile(plain);
  file.writeUInt32BE(3, file.indexOf('stts') + 8);
  const source = bytesSource(file);
  const [track] = mp4Tracks(source, mp4Contents(source)!.moov!);
  const table = mp4Samples(source, track!);
  expect(table.samples).toHaveLength(3);
  expect(table.stoppedBecause).toBe('samples without a time follow');
});

test('samples beyond the end of the file are passed over', () => {
  const file = movieFile(plain);
  const source = bytesSource(file.subarray(0, file.length - 5));
  const whole = bytesSource(file);
  const [track] = mp4Tracks(whole, mp4Contents(whole)!.moov!);
  expect([...sampleBytes(source, mp4Samples(source, track!).samples, bounds)]).toHaveLength(6);
});
