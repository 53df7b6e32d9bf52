import type { Problem } from '../domain/recording.ts';
import { displayText } from '../domain/displayText.ts';
import { framesPerSecond } from '../domain/frameRate.ts';
import type { OpenMedia } from '../programs/openMedia.ts';
import type { Program } from '../programs/locate.ts';
import { fileSource } from './containers/byteSource.ts';
import { mp4Contents } from './containers/mp4Boxes.ts';
import type { Mp4Contents } from './containers/mp4Boxes.ts';
import { needsTimes, parseFfprobe, readFfprobe, readTimes } from './ffprobe.ts';
import type { ProbeResult } from './ffprobe.ts';
import { pictureStream, textStreams } from './ffprobeJson.ts';
import type { Probed } from './ffprobeJson.ts';
import type { Reading } from './sighting.ts';
import { readTextTrack } from './subtitles.ts';
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
  const boxes = mp4Contents(fileSource(media));
  const result = await readFfprobe(media, programs.ffprobe);
  if (result.probed === undefined) return { readings: [], problem: unreadable(result, boxes) };
  const { probed } = result;
  if (pictureStream(probed) === undefined) return { readings: [], problem: noPicture };
  const times = needsTimes(probed) ? await readTimes(media, programs.ffprobe, probed) : undefined;
  const facts = parseFfprobe(probed, times);
  const problem = partial(result, boxes);
  return {
    readings: [facts, ...embeddedXmp(boxes), ...(await textTracks(media, programs.ffmpeg, probed, facts))],
    ...(problem === undefined ? {} : { problem }),
  };
}

/** Capture rate among the facts of a reading. */
export function captureRateOf({ sightings }: Reading): number | undefined {
  const found = sightings.find(({ fact }) => fact === 'frameRate');
  return found?.fact === 'frameRate' ? framesPerSecond(found.value) : undefined;
}

// More text tracks than this are languages, not telemetry.
const maxTextTracks = 4;

async function textTracks(
  media: OpenMedia,
  ffmpeg: Program,
  probed: Probed,
  facts: Reading,
): Promise<Reading[]> {
  const readings: Reading[] = [];
  for (const track of textStreams(probed).slice(0, maxTextTracks)) {
    readings.push(await readTextTrack(media, ffmpeg, track, captureRateOf(facts)));
  }
  return readings;
}

function embeddedXmp(boxes: Mp4Contents | undefined): Reading[] {
  if (boxes === undefined) return [];
  const [packet] = boxes.xmp;
  const origin = { carrier: 'xmp-embedded', label: 'XMP' } as const;
  const parsed = packet === undefined ? [] : [parseXmp(packet, origin)];
  return [
    { sightings: [], refusals: boxes.refusals },
    ...parsed.map(({ sightings, refusals }) => ({ sightings, refusals })),
  ];
}

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
  if (result.ended === 'output-limit') {
    return {
      message: 'says more about itself than can be read',
      hint: 'It may be damaged or made to do harm. Leave it out.',
    };
  }
  if (boxes?.hasIndex === false || /moov atom not found/.test(result.stderr)) {
    return {
      message: 'the recording was cut off: its index is missing, so no frame can be found',
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
function partial(result: ProbeResult, boxes: Mp4Contents | undefined): Trouble | undefined {
  if (boxes?.missingBytes !== undefined) {
    const message = `the recording was cut off: ${boxes.missingBytes} bytes of it are missing at the end`;
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
  const plain = line.replace(/^\[[^\]]*\]\s*/, '').replaceAll('file:/proc/self/fd/3', 'the file');
  return displayText(plain.trim().slice(0, 200));
}
