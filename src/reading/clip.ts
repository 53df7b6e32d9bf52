import { displayText } from '../domain/displayText.ts';
import type { OpenMedia } from '../programs/openMedia.ts';
import type { Program } from '../programs/run.ts';
import { containerTags } from './containerTags.ts';
import { fileSource, type ByteSource } from '../containers/byteSource.ts';
import { matroskaContents, matroskaEnd } from '../containers/matroska.ts';
import { mp4Contents, mp4Keys } from '../containers/mp4.ts';
import { mxfEnd } from '../containers/mxf.ts';
import { readFfprobe, pictureStream, type FirstFrames, type Probed } from './ffprobe.ts';
import { readFirstFrames, pictureStreamFacts, timingFacts } from './rateFacts.ts';
import {
  mayHoldMore,
  combinedReadings,
  type FactSighting,
  type OwnReadings,
  type Reading,
  type Trouble,
} from './sighting.ts';
import { clipContext } from './telemetryPairs.ts';
import { readTextTrack } from './textTracks.ts';
import { readTimedCarriers } from './timed/timedCarriers.ts';

export interface Programs {
  readonly ffprobe: Program;
  readonly ffmpeg: Program;
}

/** Everything that a clip says of itself, and what is wrong with it. */
export async function readClip(media: OpenMedia, programs: Programs): Promise<OwnReadings> {
  const source = fileSource(media);
  const boxes = mp4Contents(source);
  if (boxes?.isOverloaded === true) return { readings: [], problem: overloaded };
  const result = await readFfprobe(media, programs.ffprobe);
  if (result.probed === undefined) return { readings: [], problem: unreadable(result, boxes) };
  const probed = withKeys(result.probed, source, boxes);
  const picture = pictureStream(probed);
  if (picture === undefined) return { readings: [], problem: noPicture };
  const first = await readFirstFrames(media, programs.ffprobe, probed);
  const stated = statedFacts(probed, first);
  const clip = { media, source, moov: boxes?.moov, probed, stated };
  const timed = await readTimedCarriers(clip, programs.ffprobe);
  const problem = readInPart(result, boxes?.missingBytes ?? missingEnd(source));
  return {
    readings: [
      withoutPlaybackRate(stated, timed),
      timingFacts(picture, first),
      ...(await embeddedXmp(source, boxes)),
      ...timed,
      ...(await textTracks(media, programs.ffmpeg, probed, stated)),
    ],
    problem,
  };
}

/** Facts from ffprobe's answer and what was read of the first frames. */
export function statedFacts(probed: Probed, first?: FirstFrames): Reading {
  const stream = pictureStream(probed);
  const tags = containerTags(probed, stream);
  if (stream === undefined) return tags;
  const captureKnown = tags.sightings.some(({ fact }) => fact === 'frameRate');
  const facts = pictureStreamFacts(probed, stream, first, captureKnown);
  return { ...combinedReadings([facts, tags]), writtenBy: tags.writtenBy };
}

/** The metadata keys of the movie that ffprobe does not show, as if it did. */
function withKeys(probed: Probed, source: ByteSource, boxes: ReturnType<typeof mp4Contents>): Probed {
  const keys = boxes?.moov === undefined ? new Map<string, string>() : mp4Keys(source, boxes.moov);
  if (keys.size === 0) return probed;
  const tags = { ...Object.fromEntries(keys), ...probed.format?.tags };
  return { ...probed, format: { ...probed.format, tags } };
}

/** Where telemetry holds the capture rate, that of the stream is only the speed of playback. */
function withoutPlaybackRate(stated: Reading, timed: readonly Reading[]): Reading {
  if (!timed.some(({ sightings }) => sightings.some(({ fact }) => fact === 'frameRate'))) return stated;
  const isPlayback = ({ fact, carrier }: FactSighting): boolean =>
    fact === 'frameRate' && carrier === 'stream';
  return { ...stated, sightings: stated.sightings.filter((sighted) => !isPlayback(sighted)) };
}

// More text tracks than this are languages, not telemetry.
const maxTextTracks = 4;
const textCodecs = new Set(['mov_text', 'subrip', 'text', 'webvtt', 'ass', 'ssa']);

async function textTracks(
  media: OpenMedia,
  ffmpeg: Program,
  probed: Probed,
  stated: Reading,
): Promise<Reading[]> {
  const tracks = (probed.streams ?? [])
    .filter((stream) => stream.codec_type === 'subtitle')
    .map((stream, position) => ({ position, codec: stream.codec_name ?? '' }))
    .filter(({ codec }) => textCodecs.has(codec));
  const readings: Reading[] = [];
  for (const track of tracks.slice(0, maxTextTracks)) {
    const reading = await readTextTrack(media, ffmpeg, track, clipContext([stated]));
    readings.push(mayHoldMore(reading) ? { ...reading, unreadTrack: 'a text track' } : reading);
  }
  return readings;
}

async function embeddedXmp(source: ByteSource, boxes: ReturnType<typeof mp4Contents>): Promise<Reading[]> {
  const carried = boxes ?? matroskaContents(source);
  if (carried === undefined) return [];
  const [packet] = carried.xmp;
  const refused: Reading = {
    sightings: [],
    refusals: carried.refusals,
    unreadTrack: carried.refusals.length === 0 ? undefined : 'an XMP packet',
  };
  if (packet === undefined) return [refused];
  const { parseXmp } = await import('./xmp.ts');
  const { sightings, refusals, writtenBy } = parseXmp(packet, { carrier: 'xmp-embedded', label: 'XMP' });
  return [refused, { sightings, refusals, writtenBy }];
}

const overloaded: Trouble = {
  message: 'claims more tracks, keys or samples than any camera writes',
  hint: 'It may be damaged or made to do harm. Leave it out.',
};

const noPicture: Trouble = {
  message: 'holds no moving picture',
  hint: 'Leave it out of the dump if it is a sound recording; otherwise copy it from the card again.',
};

const cutOffHint =
  'The recording was probably interrupted. Put the card back into the camera, which may finish the file when it ' +
  'starts; else copy it again, or rebuild it with a repair program and an intact clip of the same camera.';

function unreadable(
  result: Awaited<ReturnType<typeof readFfprobe>>,
  boxes: ReturnType<typeof mp4Contents>,
): Trouble {
  if (result.ended === 'time-out')
    return {
      message: 'took too long to read and was given up',
      hint: 'It may be damaged. Copy it from the card again.',
    };
  if (result.ended === 'output-limit' || /exceeds max_streams/.test(result.stderr)) return overloaded;
  if ((boxes !== undefined && boxes.moov === undefined) || /moov atom not found/.test(result.stderr))
    return { message: 'was cut off: its index is missing, so no frame can be found', hint: cutOffHint };
  if (result.ended === 'crash')
    return {
      message: 'made ffprobe stop with a fault',
      hint: 'Copy it from the card again, or install a newer ffmpeg.',
    };
  return {
    message: 'could not be read as a video',
    hint: 'It may be damaged. Copy it from the card again.',
    detail: ffprobeComplaint(result.stderr),
  };
}

function readInPart(
  result: Awaited<ReturnType<typeof readFfprobe>>,
  missingBytes: number | undefined,
): Trouble | undefined {
  if (missingBytes !== undefined)
    return {
      message: 'was cut off: its end is missing',
      hint: 'Copy it from the card again. What is there was read.',
      detail: `${missingBytes} bytes are missing`,
    };
  const complaint = ffprobeComplaint(result.stderr);
  if (complaint === undefined && result.exitCode === 0) return undefined;
  return {
    message: 'was read only in part',
    hint: 'Copy it from the card again. What could be read was read.',
    detail: complaint ?? `ffprobe: exit status ${result.exitCode}`,
  };
}

/** The first line of what it complained about, if it did. */
function ffprobeComplaint(stderr: string): string | undefined {
  const line = stderr.split('\n').find((text) => text.trim() !== '') ?? '';
  // Names and addresses inside the program mean nothing to the person.
  const plain = line.replace(/^(?:\[[^\]]*\]\s*)+/, '').replaceAll(/file:\/proc\/self\/fd\/3(?:: )?/g, '');
  const complaint = displayText(plain.trim().slice(0, 200));
  return complaint === '' ? undefined : `ffprobe: ${complaint}`;
}

// A program that only looks at the beginning of a clip does not notice that its end is missing. These containers say in
// their first bytes how long they are; one that was written without knowing says nothing, and a transport stream never
// does. MP4 and MOV have their own walk, mp4.ts.

/** How many bytes a clip lacks at its end by what its own header says; undefined where it is whole or does not say. */
export function missingEnd(source: ByteSource): number | undefined {
  const claimed = aviEnd(source) ?? matroskaEnd(source) ?? mxfEnd(source);
  if (claimed === undefined || !Number.isSafeInteger(claimed)) return undefined;
  return claimed > source.sizeBytes ? claimed - source.sizeBytes : undefined;
}

/** RIFF: a 32-bit size behind the first four bytes. Larger files have more than one such chunk; the first counts. */
function aviEnd(source: ByteSource): number | undefined {
  const head = source.read(0, 12);
  if (head.toString('latin1', 0, 4) !== 'RIFF' || head.toString('latin1', 8, 12) !== 'AVI ') return undefined;
  const size = head.readUInt32LE(4);
  // Zero, or all ones, is what stands there until the end is written.
  return size === 0 || size >= 0xffff_fff0 ? undefined : size + 8;
}
