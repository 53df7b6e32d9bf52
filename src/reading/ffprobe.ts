import type { OpenMedia } from '../programs/openMedia.ts';
import type { Program } from '../programs/program.ts';
import type { Ended } from '../programs/run.ts';
import { containerTags } from './containerTags.ts';
import { parseProbeJson, pictureStream, type Probed, type ProbedStream } from './ffprobeJson.ts';
import { needsPictures, readFirstPictures, saysFields, type FirstFrames } from './fields.ts';
import { countedInFrames, rateFacts, statedOf } from './rateFacts.ts';
import { runFfprobe } from './runFfprobe.ts';
import type { Reading } from './sighting.ts';
import { streamFacts } from './streamFacts.ts';
import { statedRate } from './streamRate.ts';

export interface ProbeResult {
  /** Undefined where nothing could be read. */
  readonly probed?: Probed;
  readonly ended: Ended;
  readonly exitCode: number | null;
  /** What the program complained about, at most 64 KiB. */
  readonly stderr: string;
}

/** Asks ffprobe for a clip's streams and tags, within limits. */
export async function readFfprobe(media: OpenMedia, program: Program): Promise<ProbeResult> {
  const run = await runFfprobe(media, program, '-show_format -show_streams -of json');
  const probed = run.ended === 'exit' ? parseProbeJson(run.stdout.toString('utf8')) : undefined;
  return {
    probed: probed?.streams === undefined || probed.streams.length === 0 ? undefined : probed,
    ended: run.ended,
    exitCode: run.exitCode,
    stderr: run.stderr,
  };
}

/**
 * Facts from ffprobe's answer. What was read of the first frames decides where the stated rates contradict each other or
 * may count fields.
 */
export function parseFfprobe(probed: Probed, first?: FirstFrames): Reading {
  const stream = pictureStream(probed);
  const tags = containerTags(probed, stream);
  if (stream === undefined) return tags;
  const facts = streamFacts(stream, probed);
  const captureKnown = tags.sightings.some(({ fact }) => fact === 'frameRate');
  const rates = rateFacts({ stream, stated: statedOf(stream, probed), first, captureKnown });
  return {
    sightings: [...countedInFrames(facts.sightings, rates), ...rates.sightings, ...tags.sightings],
    refusals: [...facts.refusals, ...rates.refusals, ...tags.refusals],
    writtenBy: tags.writtenBy,
  };
}

/** Reads the first frames of the picture stream, where the header does not tell their rate or counts fields. */
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

const timesWanted = 300;

/** Presentation times, in seconds, of the first packets of the picture stream. */
export async function readTimes(
  media: OpenMedia,
  program: Program,
  { index }: ProbedStream,
): Promise<readonly number[]> {
  const run = await runFfprobe(
    media,
    program,
    `-select_streams ${index} -read_intervals %+#${timesWanted} ` +
      '-show_entries packet=pts_time,dts_time -of csv=print_section=0',
  );
  return parseTimes(run.stdout.toString('utf8'));
}

/**
 * Reads ffprobe's lines of a presentation and a decoding time. A container that records only when a frame is to be
 * decoded gives "N/A,0.041"; in order, that is as good.
 *
 * @returns seconds
 * @example parseTimes('1.48,1.44\nN/A,1.52\n') // [1.48, 1.52]
 */
export function parseTimes(lines: string): readonly number[] {
  return lines.split('\n').flatMap((line) => {
    const time = line.split(',').find((field) => /^-?\d/.test(field));
    return time === undefined ? [] : [Number(time)];
  });
}
