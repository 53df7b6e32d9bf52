import type { FactValues, Refusal, TransferName, FactName } from '../domain/recording.ts';
import { assumedTransferSource, codedTransfers } from '../domain/transferCurves.ts';
import { tagsOf, type Probed, type ProbedStream } from './ffprobe.ts';
import { optionalSighting, type FactSighting, type Reading } from './sighting.ts';

const unstated = new Set(['unknown', 'unspecified', 'reserved']);
const ranges: Readonly<Record<string, FactValues['range']>> = {
  tv: 'narrow',
  mpeg: 'narrow',
  pc: 'full',
  jpeg: 'full',
};

/** What the picture stream says of its picture and its length; not its rate, which streamRate.ts works out. */
export function streamFacts(stream: ProbedStream, probed: Probed): Reading {
  const rotation = rotationDegrees(stream);
  const size = displayedSize(stream, rotation);
  const transfer = transferOf(stream);
  const duration = durationOf(stream, probed);
  return {
    sightings: [
      ...duration.sightings,
      ...frameCount(stream),
      ...see('width', size?.width, 'stream width'),
      ...see('height', size?.height, 'stream height'),
      ...see('rotationDegrees', rotation, 'display matrix'),
      ...see('codec', stream.codec_name, 'stream codec'),
      ...see('bitDepth', bitDepth(stream), 'stream pixel format'),
      ...see('range', rangeOf(stream), 'stream colour range'),
      ...(typeof transfer === 'string' ? see('transfer', transfer, 'stream colour transfer') : []),
      ...(transfer === undefined ? assumedTransfer(stream) : []),
      ...see('startTimecode', startTimecode(stream, probed), 'timecode track'),
    ],
    refusals: [...duration.refusals, ...(typeof transfer === 'object' ? [transfer] : [])],
  };
}

const see = <N extends FactName>(fact: N, value: FactValues[N] | undefined, source: string): FactSighting[] =>
  optionalSighting(fact, value, 'stream', source);

/** ISO 14496-12, section 8.4.2: a duration that cannot be determined is set to all ones. */
const unknownDuration = 0xffffffff;

/** A day: no card holds a longer recording, and looking into what a damaged file calls one takes hours. */
const longestClipSeconds = 86_400;

/** From the stream, from a Matroska statistics tag, or from the container as a whole. */
function durationOf(stream: ProbedStream, probed: Probed): Reading {
  // What the container says then is the longest of such.
  if (stream.duration_ts === unknownDuration) return { sightings: [], refusals: [] };
  const stated = [
    { seconds: positive(stream.duration), source: 'stream duration' },
    { seconds: clockSeconds(tagsOf(stream).get('duration')), source: 'stream tag DURATION' },
    { seconds: positive(probed.format?.duration), source: 'container duration' },
  ];
  const isTooLong = ({ seconds = 0 }: (typeof stated)[number]): boolean => seconds > longestClipSeconds;
  return {
    sightings: stated
      .filter((each) => !isTooLong(each))
      .flatMap(({ seconds, source }) => see('durationSeconds', seconds, source))
      .slice(0, 1),
    refusals: stated.filter(isTooLong).map(({ seconds, source }) => ({
      what: 'durationSeconds',
      raw: String(seconds),
      source,
      reason: 'is longer than a day',
    })),
  };
}

function frameCount(stream: ProbedStream): FactSighting[] {
  return [
    ...see('frameCount', positive(stream.nb_frames), 'stream frame count'),
    ...see('frameCount', positive(tagsOf(stream).get('number_of_frames')), 'stream tag NUMBER_OF_FRAMES'),
  ].slice(0, 1);
}

function positive(text: string | undefined): number | undefined {
  const number = Number(text);
  return Number.isFinite(number) && number > 0 ? number : undefined;
}

function clockSeconds(text: string | undefined): number | undefined {
  const match = /^(\d{1,4}):(\d\d):(\d\d(?:\.\d{1,9})?)$/.exec(text ?? '');
  if (match === null) return undefined;
  return positive(String(Number(match[1]) * 3600 + Number(match[2]) * 60 + Number(match[3])));
}

/** Clockwise. The display matrix is given counter-clockwise, the older tag clockwise. */
function rotationDegrees(stream: ProbedStream): number | undefined {
  const matrix = stream.side_data_list?.find(({ rotation }) => rotation !== undefined)?.rotation;
  const tag = tagsOf(stream).get('rotate');
  const clockwise = matrix !== undefined ? -matrix : tag === undefined ? undefined : Number(tag);
  if (clockwise === undefined || !Number.isFinite(clockwise)) return undefined;
  return (((Math.round(clockwise / 90) * 90) % 360) + 360) % 360;
}

function displayedSize({ width = 0, height = 0 }: ProbedStream, rotation = 0) {
  if (width <= 0 || height <= 0) return undefined;
  return rotation % 180 === 0 ? { width, height } : { width: height, height: width };
}

function bitDepth(stream: ProbedStream): number | undefined {
  if (stream.pix_fmt === undefined) return positive(stream.bits_per_raw_sample);
  const deep =
    /(?:p|gray|gbrap|gbrp|nv\d\d|x2rgb|x2bgr|y2)(9|10|12|14|16)(?:le|be)$|^p0?(10|12|16)(?:le|be)$/.exec(
      stream.pix_fmt,
    );
  if (deep !== null) return Number(deep[1] ?? deep[2]);
  return /(?:48|64)(?:le|be)$/.test(stream.pix_fmt) ? 16 : 8;
}

function rangeOf(stream: ProbedStream): FactValues['range'] | undefined {
  return stream.pix_fmt?.startsWith('yuvj') === true ? 'full' : ranges[stream.color_range ?? ''];
}

function transferOf({ color_transfer: name }: ProbedStream): TransferName | Refusal | undefined {
  if (name === undefined || unstated.has(name)) return undefined;
  const transfer = codedTransfers.find(({ ffmpegName }) => ffmpegName === name)?.transfer;
  if (transfer !== undefined) return transfer;
  const source = 'stream colour transfer';
  return { what: 'transfer', raw: name, source, reason: 'is a curve that Halfturn cannot undo' };
}

/**
 * Ordinary 8-bit footage without tags is in BT.709. Deeper untagged footage is often log or HLG, and so is what has wide
 * primaries.
 */
function assumedTransfer(stream: ProbedStream): FactSighting[] {
  if (bitDepth(stream) !== 8 || stream.color_primaries === 'bt2020') return [];
  return see('transfer', 'bt709', assumedTransferSource);
}

function startTimecode(stream: ProbedStream, probed: Probed): string | undefined {
  const holders = [stream, probed.format, ...(probed.streams ?? [])];
  const timecode = holders.map((holder) => tagsOf(holder).get('timecode')).find((text) => text !== undefined);
  return /^\d\d:\d\d:\d\d[:;.]\d{2,3}$/.test(timecode ?? '') ? timecode : undefined;
}
