import { z } from 'zod';
import type { OpenMedia } from '../programs/openMedia.ts';
import { mediaArgument, mostPicturePixels, runProgram, type Program } from '../programs/run.ts';
import type { SamplePlace } from '../containers/mp4Tracks.ts';
import type { TimedBytes } from './timed/trackReading.ts';

// Names of demuxers, of both old and new builds; lists that point to other files are not among them.
const formats = 'mov,mp4,m4a,3gp,3g2,mj2,matroska,webm,mpegts,mxf,avi,cine';

// Found on made files: without these bounds, files of a few kilobytes cost gigabytes and minutes.
const probeBounds =
  `-protocol_whitelist file -format_whitelist ${formats} -max_streams 64 -max_pixels ${mostPicturePixels} ` +
  '-analyzeduration 5M -probesize 10M -threads 1';
const limits = { stdoutBytes: 16 << 20, stderrBytes: 65_536, memoryKiB: 800_000 };

function runFfprobe(media: OpenMedia, program: Program, options: string, wallMs = 20_000) {
  const args = `-v error -hide_banner ${probeBounds} ${options}`.split(' ');
  return runProgram({ program, args: [...args, mediaArgument(media)], media, wallMs, ...limits });
}

/** `probed` is undefined where nothing could be read. */
export async function readFfprobe(media: OpenMedia, program: Program) {
  const { ended, exitCode, stderr, stdout } = await runFfprobe(
    media,
    program,
    '-show_format -show_streams -of json',
  );
  const answer = ended === 'exit' ? parseProbeJson(stdout.toString('utf8')) : undefined;
  return { probed: answer?.streams?.length ? answer : undefined, ended, exitCode, stderr };
}

// Only what is used is named; everything the program writes is optional, because a damaged file leaves out anything.
const tags = z.record(z.string(), z.string()).optional();

const streamSchema = z.object({
  index: z.number(),
  codec_type: z.string().optional(),
  codec_name: z.string().optional(),
  codec_tag_string: z.string().optional(),
  width: z.number().optional(),
  height: z.number().optional(),
  pix_fmt: z.string().optional(),
  color_range: z.string().optional(),
  color_transfer: z.string().optional(),
  color_primaries: z.string().optional(),
  field_order: z.string().optional(),
  time_base: z.string().optional(),
  bits_per_raw_sample: z.string().optional(),
  avg_frame_rate: z.string().optional(),
  r_frame_rate: z.string().optional(),
  nb_frames: z.string().optional(),
  duration: z.string().optional(),
  duration_ts: z.number().optional(),
  start_time: z.string().optional(),
  disposition: z.object({ attached_pic: z.number().optional() }).optional(),
  side_data_list: z.array(z.object({ rotation: z.number().optional() })).optional(),
  tags,
});

const answerSchema = z.object({
  streams: z.array(streamSchema).optional(),
  format: z.object({ format_name: z.string().optional(), duration: z.string().optional(), tags }).optional(),
});

export type ProbedStream = z.output<typeof streamSchema>;
export type Probed = z.output<typeof answerSchema>;

/** Reads ffprobe's JSON; undefined where it is none, or cut off. */
export function parseProbeJson(json: string): Probed | undefined {
  return answerSchema.safeParse(parsedJson(json)).data;
}

/** The moving picture: the first video stream that is no cover picture. */
export function pictureStream({ streams }: Probed): ProbedStream | undefined {
  return streams?.find((stream) => stream.codec_type === 'video' && stream.disposition?.attached_pic !== 1);
}

/** A container's tags by lower-case name: containers differ in how they spell them. */
export function tagsOf(holder: { readonly tags?: Record<string, string> } | undefined): Map<string, string> {
  return new Map(Object.entries(holder?.tags ?? {}).map(([name, value]) => [name.toLowerCase(), value]));
}

/** What was read of the first frames of a stream, because its header alone does not tell. */
export interface FirstFrames {
  /** Presentation times: of packets, or of decoded pictures where packets may be fields. */
  readonly timesSeconds: readonly number[];
  /** Whether most of the pictures are in fields; absent where none was decoded. */
  readonly areInFields?: boolean;
}

export async function readTimes(
  media: OpenMedia,
  program: Program,
  stream: ProbedStream,
): Promise<readonly number[]> {
  return parseTimes(await firstPackets(media, program, stream, 300, 'packet=pts_time,dts_time'));
}

async function firstPackets(
  media: OpenMedia,
  program: Program,
  { index }: ProbedStream,
  count: number,
  entries: string,
): Promise<string> {
  const options = `-select_streams ${index} -read_intervals %+#${count} -show_entries ${entries} -of csv=print_section=0`;
  return (await runFfprobe(media, program, options)).stdout.toString('utf8');
}

/**
 * Reads ffprobe's lines of a presentation and a decoding time. A container that records only when a frame is to be
 * decoded gives "N/A,0.041"; in order, that is as good.
 * @example parseTimes('1.48,1.44\nN/A,1.52\n') // [1.48, 1.52]
 */
export function parseTimes(lines: string): readonly number[] {
  return lines.split('\n').flatMap((line) => {
    const time = line.split(',').find((field) => /^-?\d/.test(field));
    return time === undefined ? [] : [Number(time)];
  });
}

// Over a second of frames, wherever the first key frame stands in the first two.
const packetsWanted = 150;

/** Decodes the first packets of a picture stream; undefined where that gives no picture. */
export async function readFirstPictures(
  media: OpenMedia,
  program: Program,
  stream: ProbedStream,
): Promise<FirstFrames | undefined> {
  const entries = 'frame=best_effort_timestamp_time,interlaced_frame';
  return parseFirstPictures(await firstPackets(media, program, stream, packetsWanted, entries));
}

/**
 * Reads ffprobe's lines of a presentation time and whether the picture is in fields.
 * @example parseFirstPictures('0.040000,1\n0.080000,1\n') // { timesSeconds: [0.04, 0.08], areInFields: true }
 */
export function parseFirstPictures(lines: string): FirstFrames | undefined {
  const pictures = lines.split('\n').flatMap((line) => {
    const [, time, inFields] = /^(-?\d{1,12}(?:\.\d{1,9})?|N\/A),([01])/.exec(line) ?? [];
    return time === undefined ? [] : [{ time: Number(time), inFields: inFields === '1' }];
  });
  if (pictures.length === 0) return undefined;
  return {
    timesSeconds: pictures.map(({ time }) => time).filter(Number.isFinite),
    areInFields: 2 * pictures.filter(({ inFields }) => inFields).length > pictures.length,
  };
}

interface ProbedMedia {
  readonly media: OpenMedia;
  readonly probed: Probed;
}

// To list the packets of a stream, the program reads the whole file: a 100 GB recording takes minutes.
const wholeFileMs = 300_000;

/** Where the picture stream's packets lie, for containers whose own tables are not read here. */
export async function readFramePlaces(
  clip: ProbedMedia,
  program: Program,
  most: number,
): Promise<SamplePlace[]> {
  const stream = pictureStream(clip.probed);
  if (stream === undefined) return [];
  const entries = 'pts_time,dts_time,duration_time,size,pos';
  const select = `-select_streams ${stream.index} -read_intervals %+#${most}`;
  const shown = `-show_entries packet=${entries} -of compact=print_section=0`;
  const { stdout } = await runFfprobe(clip.media, program, `${select} ${shown}`, wholeFileMs);
  return parsePacketPlaces(stdout.toString('latin1'), startOf(stream));
}

/** The packets of a stream of metadata, each with its bytes. */
export async function readPackets(clip: ProbedMedia, program: Program, index: number): Promise<TimedBytes[]> {
  const select = `-select_streams ${index} -show_data -show_entries packet=pts_time,data -of json`;
  const { stdout } = await runFfprobe(clip.media, program, select, wholeFileMs);
  return parsePackets(stdout.toString('latin1'), startOf(pictureStream(clip.probed)));
}

function startOf(stream: ProbedStream | undefined): number {
  const seconds = Number(stream?.start_time);
  return Number.isFinite(seconds) ? seconds : 0;
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
