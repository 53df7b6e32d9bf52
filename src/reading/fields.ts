import { framesPerSecond, nominalRate, parseFrameRate, type FrameRate } from '../domain/frameRate.ts';
import type { OpenMedia } from '../programs/openMedia.ts';
import type { Program } from '../programs/program.ts';
import type { ProbedStream } from './ffprobeJson.ts';
import { runFfprobe } from './runFfprobe.ts';
import { statedRate, type StatedRate } from './streamRate.ts';

// What is known about pictures in fields. A frame may be stored as two fields, of every other row each, which were taken
// one after the other (interlaced) or at one moment (progressive segmented frames, Recommendation ITU-R BT.709-6). The
// stream says only that there are fields. Where each of them is a packet, the container counts twice: the probing program
// makes 50 of 25 frames/s as the base rate of a transport stream, and in MP4 as the average and as the number of frames
// too, and says nothing of fields there. Decoded pictures are frames, and each says whether it is in fields.

/** All systems in fields of BT.709-6 (60/I, 50/I, 30/PsF, 25/PsF, 24/PsF) and BT.601-7 have 24 to 30 frames/s. */
const mostFramesPerSecond = 31;

const fieldOrders = new Set(['tt', 'bb', 'tb', 'bt']);
/** Codings of which old and new builds know the order of fields, where there is one to know. */
const tellingCodecs = new Set(['h264', 'mpeg2video']);

/** What was read of the first frames of a stream, because its header alone does not tell. */
export interface FirstFrames {
  /** Presentation times: of packets, or of decoded pictures where packets may be fields. */
  readonly timesSeconds: readonly number[];
  /** Whether most of the pictures are in fields; absent where none was decoded. */
  readonly areInFields?: boolean;
}

/** Whether only decoded pictures tell how many frames a second there are, or whether they are in fields. */
export function needsPictures(stream: ProbedStream, stated: StatedRate): boolean {
  if (saysFields(stream)) return rateInFields(stated) === undefined;
  return stream.field_order !== 'progressive' && tellingCodecs.has(stream.codec_name ?? '');
}

/** Where it stands that the pictures of a stream are in fields; undefined where they are not, or nobody knows. */
export function fieldsSource(stream: ProbedStream, first: FirstFrames | undefined): string | undefined {
  if (saysFields(stream)) return `stream field order (${stream.field_order})`;
  return first?.areInFields === true ? 'flags of the first pictures' : undefined;
}

/** Whether a stream's header says so. */
export const saysFields = ({ field_order: order }: ProbedStream): boolean => fieldOrders.has(order ?? '');

/** The stated rate of a stream in fields, where all that is stated agrees and it can be one of frames. */
export function rateInFields(stated: StatedRate): FrameRate | undefined {
  const rate = statedRate(stated);
  return rate !== undefined && canBeInFields(rate) ? rate : undefined;
}

/** No system in fields has more frames a second. */
export function canBeInFields(rate: FrameRate): boolean {
  return framesPerSecond(rate) <= mostFramesPerSecond;
}

/** The rate of frames in fields by the header alone, where no picture could be decoded: a base rate may count fields. */
export function rateOfFieldHeader({ average, base }: StatedRate): FrameRate | undefined {
  const usual = [average, base].flatMap((text) => {
    const rate = parseFrameRate(text);
    if (rate === undefined) return [];
    return nominalRate(framesPerSecond(rate) / (canBeInFields(rate) ? 1 : 2)) ?? [];
  });
  return usual.find(canBeInFields);
}

/** How many frames are that many packets, of which each may be a field. */
export function framesOf(packets: number, durationSeconds: number, rate: FrameRate): number {
  const perFrame = packets / (durationSeconds * framesPerSecond(rate));
  return Math.round(perFrame) === 2 ? Math.ceil(packets / 2) : packets;
}

// Over a second of frames, wherever the first key frame stands in the first two.
const packetsWanted = 150;

/** Decodes the first packets of a picture stream; undefined where that gives no picture. */
export async function readFirstPictures(
  media: OpenMedia,
  program: Program,
  { index }: ProbedStream,
): Promise<FirstFrames | undefined> {
  const run = await runFfprobe(
    media,
    program,
    `-select_streams ${index} -read_intervals %+#${packetsWanted} ` +
      '-show_entries frame=best_effort_timestamp_time,interlaced_frame -of csv=print_section=0',
  );
  return parseFirstPictures(run.stdout.toString('utf8'));
}

/**
 * Reads ffprobe's lines of a presentation time and whether the picture is in fields.
 *
 * @returns times in seconds
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
