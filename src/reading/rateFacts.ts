// What is known about pictures in fields. A frame may be stored as two fields, of every other row each, which were taken
// one after the other (interlaced) or at one moment (progressive segmented frames, Recommendation ITU-R BT.709-6). The
// stream says only that there are fields. Where each of them is a packet, the container counts twice: the probing program
// makes 50 of 25 frames/s as the base rate of a transport stream, and in MP4 as the average and as the number of frames
// too, and says nothing of fields there. Decoded pictures are frames, and each says whether it is in fields.
import { framesPerSecond, nominalRate, parseFrameRate, type FrameRate } from '../domain/frameRate.ts';
import type { OpenMedia } from '../programs/openMedia.ts';
import type { Program } from '../programs/run.ts';
import {
  pictureStream,
  readFirstPictures,
  readTimes,
  type FirstFrames,
  type Probed,
  type ProbedStream,
} from './ffprobe.ts';
import {
  combinedReadings,
  emptyReading,
  sightedValue,
  sighting,
  type FactSighting,
  type Reading,
} from './sighting.ts';
import { streamFacts } from './streamFacts.ts';
import {
  fewestGaps,
  frameTiming,
  rateFromTimes,
  rateOfHeader,
  statedRate,
  type StatedRate,
} from './streamRate.ts';

/** What the first frames of the picture stream tell, where the header does not tell their rate or counts fields. */
export async function readFirstFrames(
  media: OpenMedia,
  program: Program,
  probed: Probed,
): Promise<FirstFrames | undefined> {
  const stream = pictureStream(probed);
  if (stream === undefined) return undefined;
  const stated = statedOf(stream, probed);
  if (needsPictures(stream, stated)) {
    const pictures = await readFirstPictures(media, program, stream);
    if (pictures !== undefined && (pictures.areInFields === true || saysFields(stream))) return pictures;
  }
  if (statedRate(stated) !== undefined) return undefined;
  return { timesSeconds: await readTimes(media, program, stream) };
}

/** Whether only decoded pictures tell how many frames a second there are, or whether they are in fields. */
function needsPictures(stream: ProbedStream, stated: StatedRate): boolean {
  if (saysFields(stream)) return rateInFields(stated) === undefined;
  return stream.field_order !== 'progressive' && tellingCodecs.has(stream.codec_name ?? '');
}

/** All that the header says of a stream's rate. */
function statedOf(stream: ProbedStream, probed: Probed): StatedRate {
  const { sightings } = streamFacts(stream, probed);
  // High-speed cameras count frames and write the rate, far above what other clips have; there are no times to ask.
  const recorded =
    probed.format?.format_name === 'cine' ? parseFrameRate(stream.r_frame_rate ?? '') : undefined;
  return {
    recorded,
    average: stream.avg_frame_rate ?? '0/0',
    base: stream.r_frame_rate ?? '0/0',
    frameCount: sightedValue(sightings, 'frameCount'),
    durationSeconds: sightedValue(sightings, 'durationSeconds'),
  };
}

/** One tick of the stream's clock, to which its times are rounded. */
function tickSeconds({ time_base: base = '' }: ProbedStream): number | undefined {
  const [, numerator, denominator] = /^(\d{1,10})\/(\d{1,10})$/.exec(base) ?? [];
  const seconds = Number(numerator) / Number(denominator);
  return seconds > 0 && Number.isFinite(seconds) ? seconds : undefined;
}

interface SourcedRate {
  readonly rate: FrameRate;
  readonly source: string;
}

/** A stream, what its header states of its rate, and what was read of its first frames. */
interface RatedStream {
  readonly stream: ProbedStream;
  readonly stated: StatedRate;
  readonly first: FirstFrames | undefined;
}

/**
 * What the picture stream says of its picture, its length and its rate. What was read of the first frames decides where
 * the stated rates contradict each other or may count fields.
 * @param captureKnown whether the rate of capture is known from elsewhere: the stream's is then only the speed of playback
 */
export function pictureStreamFacts(
  probed: Probed,
  stream: ProbedStream,
  first: FirstFrames | undefined,
  captureKnown: boolean,
): Reading {
  const facts = streamFacts(stream, probed);
  const rates = rateFacts({ stream, stated: statedOf(stream, probed), first }, captureKnown);
  return combinedReadings([{ ...facts, sightings: countedInFrames(facts.sightings, rates) }, rates]);
}

/** The rate of a stream's frames, and whether they are in fields. */
function rateFacts(rated: RatedStream, captureKnown: boolean): Reading {
  const fields = fieldsSource(rated.stream, rated.first);
  const sourced = fields === undefined ? rateOfFrames(rated) : rateOfFramesInFields(rated);
  if (sourced === undefined) {
    const raw = `average ${rated.stated.average}, base ${rated.stated.base}`;
    const reason = 'the times of the frames are too uneven for one rate';
    return { sightings: [], refusals: [{ what: 'frameRate', raw, source: 'stream frame rate', reason }] };
  }
  const { rate, source } = sourced;
  const sightings = [sighting('playbackFrameRate', rate, 'stream', source)];
  if (!captureKnown) sightings.push(sighting('frameRate', rate, 'stream', source));
  if (fields === undefined) return { sightings, refusals: [] };
  if (!canBeInFields(rate)) {
    const reason = 'no system in fields has so many frames a second';
    return { sightings, refusals: [{ what: 'scan', raw: 'in fields', source: fields, reason }] };
  }
  return { sightings: [...sightings, sighting('scan', 'fields', 'stream', fields)], refusals: [] };
}

function rateOfFrames({ stream, stated, first }: RatedStream): SourcedRate | undefined {
  const agreed = statedRate(stated);
  if (agreed !== undefined)
    return { rate: agreed, source: agreed === stated.recorded ? 'recorded rate' : 'stream frame rate' };
  const timed = timedRate(stream, first);
  if (timed !== undefined) return timed;
  const timesAreKnown = (first?.timesSeconds.length ?? 0) > fewestGaps;
  const header = timesAreKnown ? undefined : rateOfHeader(stated);
  return header === undefined ? undefined : { rate: header, source: 'stream base rate' };
}

function rateOfFramesInFields({ stream, stated, first }: RatedStream): SourcedRate | undefined {
  const agreed = rateInFields(stated);
  if (agreed !== undefined) return { rate: agreed, source: 'stream frame rate' };
  const timed = timedRate(stream, first);
  if (timed !== undefined) return timed;
  const header = rateOfFieldHeader(stated);
  return header === undefined ? undefined : { rate: header, source: 'stream frame rate, two fields a frame' };
}

function timedRate(stream: ProbedStream, first: FirstFrames | undefined): SourcedRate | undefined {
  const rate = rateFromTimes(first?.timesSeconds ?? [], tickSeconds(stream));
  return rate === undefined ? undefined : { rate, source: 'times of the first frames' };
}

/** The number of frames, where packets were counted of which each is a field. */
function countedInFrames(sightings: readonly FactSighting[], rates: Reading): readonly FactSighting[] {
  const rate = sightedValue(rates.sightings, 'playbackFrameRate');
  const seconds = sightedValue(sightings, 'durationSeconds');
  if (sightedValue(rates.sightings, 'scan') === undefined || rate === undefined || seconds === undefined)
    return sightings;
  return sightings.map((sighted) =>
    sighted.fact === 'frameCount' ? { ...sighted, value: framesOf(sighted.value, seconds, rate) } : sighted,
  );
}

/** How evenly the first frames follow each other. */
export function timingFacts(stream: ProbedStream, first: FirstFrames | undefined): Reading {
  // Of decoded pictures some are missing without fault, as those before the first key frame: their gaps prove nothing.
  if (first === undefined || first.areInFields !== undefined) return emptyReading;
  return frameTiming(first.timesSeconds, tickSeconds(stream));
}

/** All systems in fields of BT.709-6 (60/I, 50/I, 30/PsF, 25/PsF, 24/PsF) and BT.601-7 have 24 to 30 frames/s. */
const mostFramesPerSecond = 31;

const fieldOrders = new Set(['tt', 'bb', 'tb', 'bt']);
/** Codings of which old and new builds know the order of fields, where there is one to know. */
const tellingCodecs = new Set(['h264', 'mpeg2video']);

/** Where it stands that the pictures of a stream are in fields; undefined where they are not, or nobody knows. */
function fieldsSource(stream: ProbedStream, first: FirstFrames | undefined): string | undefined {
  if (saysFields(stream)) return `stream field order (${stream.field_order})`;
  return first?.areInFields === true ? 'flags of the first pictures' : undefined;
}

/** Whether a stream's header says so. */
const saysFields = ({ field_order: order }: ProbedStream): boolean => fieldOrders.has(order ?? '');

/** The stated rate of a stream in fields, where all that is stated agrees and it can be one of frames. */
function rateInFields(stated: StatedRate): FrameRate | undefined {
  const rate = statedRate(stated);
  return rate !== undefined && canBeInFields(rate) ? rate : undefined;
}

/** No system in fields has more frames a second. */
function canBeInFields(rate: FrameRate): boolean {
  return framesPerSecond(rate) <= mostFramesPerSecond;
}

/** The rate of frames in fields by the header alone, where no picture could be decoded: a base rate may count fields. */
function rateOfFieldHeader({ average, base }: StatedRate): FrameRate | undefined {
  const usual = [average, base].flatMap((text) => {
    const rate = parseFrameRate(text);
    if (rate === undefined) return [];
    return nominalRate(framesPerSecond(rate) / (canBeInFields(rate) ? 1 : 2)) ?? [];
  });
  return usual.find(canBeInFields);
}

/** How many frames are that many packets, of which each may be a field. */
function framesOf(packets: number, durationSeconds: number, rate: FrameRate): number {
  const perFrame = packets / (durationSeconds * framesPerSecond(rate));
  return Math.round(perFrame) === 2 ? Math.ceil(packets / 2) : packets;
}
