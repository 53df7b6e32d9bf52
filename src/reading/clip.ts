import type { Problem } from '../domain/recording.ts';
import { displayText } from '../domain/displayText.ts';
import type { OpenMedia } from '../programs/openMedia.ts';
import type { Program } from '../programs/locate.ts';
import { clipContext } from './clipContext.ts';
import { fileSource } from './containers/byteSource.ts';
import type { ByteSource } from './containers/byteSource.ts';
import { matroskaXmp } from './containers/matroska.ts';
import { mp4Contents } from './containers/mp4Boxes.ts';
import type { Mp4Contents } from './containers/mp4Boxes.ts';
import { mp4Keys } from './containers/mp4Keys.ts';
import { missingEnd } from './containers/missingEnd.ts';
import { isOverloaded } from './containers/mp4Load.ts';
import { needsTimes, parseFfprobe, readFfprobe, readTimes } from './ffprobe.ts';
import type { ProbeResult } from './ffprobe.ts';
import { pictureStream, textStreams } from './ffprobeJson.ts';
import type { Probed } from './ffprobeJson.ts';
import { frameTiming } from './frameTiming.ts';
import type { FactSighting, Reading } from './sighting.ts';
import { readTextTrack } from './subtitles.ts';
import { readTimedCarriers } from './timed/timedCarriers.ts';
import { parseXmp } from './xmp.ts';

export interface Programs {
  readonly ffprobe: Program;
  readonly ffmpeg: Program;
}

type Trouble = Omit<Problem, 'path'>;

export interface ClipReading {
  /** Empty where nothing could be read; then there is a problem. */
  readonly readings: readonly Reading[];
  readonly problem?: Trouble;
}

/** Everything that a clip says of itself, and what is wrong with it. */
export async function readClip(media: OpenMedia, programs: Programs): Promise<ClipReading> {
  const source = fileSource(media);
  const boxes = mp4Contents(source);
  if (claimsTooMuch(source, boxes)) return { readings: [], problem: overloaded };
  const result = await readFfprobe(media, programs.ffprobe);
  if (result.probed === undefined) return { readings: [], problem: unreadable(result, boxes) };
  const probed = withKeys(result.probed, source, boxes);
  if (pictureStream(probed) === undefined) return { readings: [], problem: noPicture };
  const times = needsTimes(probed) ? await readTimes(media, programs.ffprobe, probed) : undefined;
  const stated = parseFfprobe(probed, times);
  const clip = { media, source, moov: boxes?.moov, probed, stated };
  const timed = await readTimedCarriers(clip, programs.ffprobe);
  const problem = partial(result, boxes?.missingBytes ?? missingEnd(source));
  return {
    readings: [
      withoutPlaybackRate(stated, timed),
      ...(times === undefined ? [] : [frameTiming(times)]),
      ...embeddedXmp(source, boxes),
      ...timed,
      ...(await textTracks(media, programs.ffmpeg, probed, stated)),
    ],
    ...(problem === undefined ? {} : { problem }),
  };
}

/** The metadata keys of the movie that ffprobe does not show, as if it did. */
function withKeys(probed: Probed, source: ByteSource, boxes: Mp4Contents | undefined): Probed {
  const keys = boxes?.moov === undefined ? new Map<string, string>() : mp4Keys(source, boxes.moov);
  if (keys.size === 0) return probed;
  const tags = { ...Object.fromEntries(keys), ...probed.format?.tags };
  return { ...probed, format: { ...probed.format, tags } };
}

/** Where telemetry holds the capture rate, that of the stream is only the speed of playback. */
function withoutPlaybackRate(stated: Reading, timed: readonly Reading[]): Reading {
  const known = timed.some(({ sightings }) => sightings.some(({ fact }) => fact === 'frameRate'));
  if (!known) return stated;
  const isPlayback = ({ fact, carrier }: FactSighting): boolean =>
    fact === 'frameRate' && carrier === 'stream';
  return { ...stated, sightings: stated.sightings.filter((one) => !isPlayback(one)) };
}

// More text tracks than this are languages, not telemetry.
const maxTextTracks = 4;

async function textTracks(
  media: OpenMedia,
  ffmpeg: Program,
  probed: Probed,
  stated: Reading,
): Promise<Reading[]> {
  const readings: Reading[] = [];
  for (const track of textStreams(probed).slice(0, maxTextTracks)) {
    readings.push(await readTextTrack(media, ffmpeg, track, clipContext([stated])));
  }
  return readings;
}

function embeddedXmp(source: ByteSource, boxes: Mp4Contents | undefined): Reading[] {
  const [packet] = boxes === undefined ? (matroskaXmp(source) ?? []) : boxes.xmp;
  const origin = { carrier: 'xmp-embedded', label: 'XMP' } as const;
  const parsed = packet === undefined ? [] : [parseXmp(packet, origin)];
  return [
    ...(boxes === undefined ? [] : [{ sightings: [], refusals: boxes.refusals }]),
    ...parsed.map(({ sightings, refusals, writtenBy }) => ({
      sightings,
      refusals,
      ...(writtenBy === undefined ? {} : { writtenBy }),
    })),
  ];
}

/** Structures that hold nothing but take a reader minutes. */
function claimsTooMuch(source: ByteSource, boxes: Mp4Contents | undefined): boolean {
  return boxes?.moov === undefined ? boxes?.isCrowded === true : isOverloaded(source, boxes.moov);
}

const overloaded: Trouble = {
  message: 'says more about itself than can be read',
  hint: 'It may be damaged or made to do harm. Leave it out.',
};

const noPicture: Trouble = {
  message: 'holds no moving picture',
  hint: 'Leave it out of the dump if it is a sound recording; otherwise copy it from the card again.',
};

const cutOffHint =
  'The recording was probably interrupted. Put the card back into the camera, which may finish the file when it ' +
  'starts; else copy it again, or rebuild it with a repair program and an intact clip of the same camera.';

function unreadable(result: ProbeResult, boxes: Mp4Contents | undefined): Trouble {
  if (result.ended === 'time-out') {
    return {
      message: 'took too long to read and was given up',
      hint: 'It may be damaged. Copy it from the card again.',
    };
  }
  if (result.ended === 'output-limit' || /exceeds max_streams/.test(result.stderr)) return overloaded;
  if (boxes?.hasIndex === false || /moov atom not found/.test(result.stderr)) {
    return {
      message: 'was cut off: its index is missing, so no frame can be found',
      hint: cutOffHint,
    };
  }
  if (result.ended === 'crash') {
    return {
      message: 'made ffprobe stop with a fault',
      hint: 'Copy it from the card again, or install a newer ffmpeg.',
    };
  }
  const says = firstLine(result.stderr);
  return {
    message: says === '' ? 'could not be read as a video' : `could not be read as a video (ffprobe: ${says})`,
    hint: 'It may be damaged. Copy it from the card again.',
  };
}

/** A clip that was read although something is missing. */
function partial(result: ProbeResult, missingBytes: number | undefined): Trouble | undefined {
  if (missingBytes !== undefined) {
    const message = `was cut off: ${missingBytes} bytes are missing at its end`;
    return { message, hint: 'Copy it from the card again. What is there was read.' };
  }
  const says = firstLine(result.stderr);
  if (says === '' && result.exitCode === 0) return undefined;
  return {
    message: `was read only in part (ffprobe: ${says === '' ? `exit status ${result.exitCode}` : says})`,
    hint: 'Copy it from the card again. What could be read was read.',
  };
}

function firstLine(stderr: string): string {
  const line = stderr.split('\n').find((one) => one.trim() !== '') ?? '';
  // Names and addresses inside the program mean nothing to the person.
  const plain = line.replace(/^(?:\[[^\]]*\]\s*)+/, '').replaceAll(/file:\/proc\/self\/fd\/3(?:: )?/g, '');
  return displayText(plain.trim().slice(0, 200));
}
