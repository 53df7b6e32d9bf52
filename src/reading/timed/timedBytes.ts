import { z } from 'zod';
import type { OpenMedia } from '../../programs/openMedia.ts';
import { mediaArgument, runProgram, type Program } from '../../programs/run.ts';

import type { ByteSource } from '../containers/byteSource.ts';
import type { SamplePlace } from '../containers/mp4Tracks.ts';
import { pictureStream, probeBounds, type Probed, type ProbedStream } from '../ffprobe.ts';
import { maxFrames } from './motionJpeg.ts';

/** The bytes of one metadata sample and when they hold, in seconds from the first frame. */
export interface TimedBytes {
  readonly startSeconds: number;
  readonly endSeconds: number;
  readonly bytes: Buffer;
}

/** How much of a track is read. */
interface SampleBounds {
  readonly sampleBytes: number;
  readonly trackBytes: number;
}

/** Reads sample after sample by its place; samples that are empty, cut off or far too long are passed over. */
export function* sampleBytes(
  source: ByteSource,
  samples: readonly SamplePlace[],
  bounds: SampleBounds,
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
  samples: readonly SamplePlace[],
  bounds: SampleBounds,
): string | undefined {
  const outside = samples.filter(({ offset, sizeBytes }) => offset + sizeBytes > source.sizeBytes).length;
  if (outside > 0) return `${outside} of ${samples.length} samples lie beyond the end of the file`;
  const long = samples.filter(({ sizeBytes }) => sizeBytes > bounds.sampleBytes).length;
  if (long > 0) return `${long} of ${samples.length} samples are longer than ${bounds.sampleBytes} bytes`;
  const bytes = samples.reduce((sum, { sizeBytes }) => sum + sizeBytes, 0);
  return bytes > bounds.trackBytes ? `it is longer than ${bounds.trackBytes} bytes` : undefined;
}

interface ProbedMedia {
  readonly media: OpenMedia;
  readonly probed: Probed;
}

/** Where the picture stream's packets lie, for containers whose own tables are not read here. */
export async function readFramePlaces(clip: ProbedMedia, program: Program): Promise<SamplePlace[]> {
  const stream = pictureStream(clip.probed);
  if (stream === undefined) return [];
  const entries = 'pts_time,dts_time,duration_time,size,pos';
  const select = `-select_streams ${stream.index} -read_intervals %+#${maxFrames + 1}`;
  const list = await packetList(
    clip,
    program,
    `${select} -show_entries packet=${entries} -of compact=print_section=0`,
  );
  return parsePacketPlaces(list, startOf(stream));
}

/** The packets of a stream of metadata, each with its bytes. */
export async function readPackets(clip: ProbedMedia, program: Program, index: number): Promise<TimedBytes[]> {
  const select = `-select_streams ${index} -show_data -show_entries packet=pts_time,data -of json`;
  return parsePackets(await packetList(clip, program, select), startOf(pictureStream(clip.probed)));
}

function startOf(stream: ProbedStream | undefined): number {
  const seconds = Number(stream?.start_time);
  return Number.isFinite(seconds) ? seconds : 0;
}

async function packetList({ media }: ProbedMedia, program: Program, what: string): Promise<string> {
  const args = `-v error -hide_banner ${probeBounds} ${what}`;
  const run = await runProgram({
    program,
    args: [...args.split(' '), mediaArgument(media)],
    media,
    // The file is read whole, as these containers ask for.
    wallMs: 300_000,
    stdoutBytes: 16 << 20,
    stderrBytes: 65_536,
    memoryKiB: 800_000,
  });
  return run.stdout.toString('latin1');
}

const packets = z.object({
  packets: z.array(z.object({ pts_time: z.string().optional(), data: z.string().optional() })),
});

// "00000000: 060e 2b34 … ....text": an address, sixteen bytes in hexadecimal, and the same as text.
const digitColumns = [10, 49] as const;

/** Reads ffprobe's list of packets with their bytes. `firstSeconds` is the time of the first frame. */
export function parsePackets(json: string, firstSeconds: number): TimedBytes[] {
  const parsed = packets.safeParse(parsedJson(json));
  return (parsed.data?.packets ?? []).flatMap(({ pts_time: time, data }) => {
    const startSeconds = Number(time) - firstSeconds;
    if (!Number.isFinite(startSeconds) || data === undefined) return [];
    const digits = data.split('\n').map((line) => line.slice(...digitColumns));
    const bytes = Buffer.from(digits.join('').replaceAll(' ', ''), 'hex');
    return [{ startSeconds, endSeconds: startSeconds, bytes }];
  });
}

function parsedJson(json: string): unknown {
  try {
    return JSON.parse(json);
  } catch {
    return undefined;
  }
}

/** Reads ffprobe's compact list of packets. `firstSeconds` is the time of the first frame. */
export function parsePacketPlaces(list: string, firstSeconds: number): SamplePlace[] {
  return list.split('\n').flatMap((line) => {
    const fields = new Map(line.split('|').map((field) => field.split('=') as [string, string]));
    const number = (name: string): number => Number(fields.get(name) ?? Number.NaN);
    const time = [number('pts_time'), number('dts_time')].find(Number.isFinite);
    const [offset, sizeBytes] = [number('pos'), number('size')];
    if (time === undefined || !(offset >= 0) || !(sizeBytes > 0)) return [];
    const startSeconds = time - firstSeconds;
    const duration = number('duration_time');
    return [{ startSeconds, endSeconds: startSeconds + (duration > 0 ? duration : 0), offset, sizeBytes }];
  });
}
