import type { OpenMedia } from '../programs/openMedia.ts';
import type { Program } from '../programs/program.ts';
import { mediaArgument, runProgram } from '../programs/run.ts';
import type { Ended } from '../programs/run.ts';
import { parseFrameRate } from '../domain/frameRate.ts';
import type { FrameRate } from '../domain/frameRate.ts';
import { containerTags } from './containerTags.ts';
import { parseProbeJson, pictureStream } from './ffprobeJson.ts';
import type { Probed } from './ffprobeJson.ts';
import { sighting } from './sighting.ts';
import type { FactSighting, Reading } from './sighting.ts';
import { durationSeconds, frameCount, streamFacts } from './streamFacts.ts';
import { fewestGaps, rateFromTimes, rateOfHeader, statedRate } from './streamRate.ts';
import type { StatedRate } from './streamRate.ts';

export interface ProbeResult {
  /** Undefined where nothing could be read. */
  readonly probed?: Probed;
  readonly ended: Ended;
  readonly exitCode: number | null;
  /** What the program complained about, at most 64 KiB. */
  readonly stderr: string;
}

// Names of demuxers, of both old and new builds; lists that point to other files are not among them.
const formats = 'mov,mp4,m4a,3gp,3g2,mj2,matroska,webm,mpegts,mxf,avi,cine';

// Found on made files: without these bounds, files of a few kilobytes cost gigabytes and minutes.
export const probeBounds =
  `-protocol_whitelist file -format_whitelist ${formats} -max_streams 64 -max_pixels 140000000 ` +
  '-analyzeduration 5M -probesize 10M -threads 1';
const limits = { wallMs: 20_000, stdoutBytes: 16 << 20, stderrBytes: 65_536, memoryKiB: 800_000 };

/** Asks ffprobe for a clip's streams and tags, within limits. */
export async function readFfprobe(media: OpenMedia, program: Program): Promise<ProbeResult> {
  const args = `-v error -hide_banner ${probeBounds} -show_format -show_streams -of json`.split(' ');
  const run = await runProgram({ program, args: [...args, mediaArgument(media)], media, ...limits });
  const probed = run.ended === 'exit' ? parseProbeJson(run.stdout.toString('utf8')) : undefined;
  return {
    ...(probed?.streams === undefined || probed.streams.length === 0 ? {} : { probed }),
    ended: run.ended,
    exitCode: run.exitCode,
    stderr: run.stderr,
  };
}

/**
 * Facts from ffprobe's answer. `timesSeconds` are presentation times of the picture stream's first packets: they
 * decide where the stated rates contradict each other (see needsTimes).
 */
export function parseFfprobe(probed: Probed, timesSeconds?: readonly number[]): Reading {
  const stream = pictureStream(probed);
  const tags = containerTags(probed, stream);
  if (stream === undefined) return tags;
  const facts = streamFacts(stream, probed);
  const rates = rateFacts(
    probed,
    timesSeconds,
    tags.sightings.some(({ fact }) => fact === 'frameRate'),
  );
  return {
    sightings: [...facts.sightings, ...rates.sightings, ...tags.sightings],
    refusals: [...facts.refusals, ...rates.refusals, ...tags.refusals],
    ...(tags.writtenBy === undefined ? {} : { writtenBy: tags.writtenBy }),
  };
}

/** Whether what is stated about the frame rate cannot be trusted, so that packet times are needed. */
export function needsTimes(probed: Probed): boolean {
  return (
    pictureStream(probed) !== undefined &&
    exactRate(probed) === undefined &&
    statedRate(stated(probed)) === undefined
  );
}

function stated(probed: Probed): StatedRate {
  const stream = pictureStream(probed)!;
  const count = frameCount(stream);
  const duration = durationSeconds(stream, probed);
  return {
    average: stream.avg_frame_rate ?? '0/0',
    base: stream.r_frame_rate ?? '0/0',
    ...(count === undefined ? {} : { frameCount: count }),
    ...(duration === undefined ? {} : { durationSeconds: duration }),
  };
}

function rateFacts(probed: Probed, times: readonly number[] | undefined, captureKnown: boolean): Reading {
  const found = exactRate(probed) ?? rateAndSource(stated(probed), times ?? []);
  if (found === undefined) {
    const { average, base } = stated(probed);
    const raw = `average ${average}, base ${base}`;
    const reason = 'the times of the frames are too uneven for one rate';
    return { sightings: [], refusals: [{ what: 'frameRate', raw, source: 'stream frame rate', reason }] };
  }
  const sightings: FactSighting[] = [sighting('playbackFrameRate', found.rate, 'stream', found.source)];
  // A capture rate in a tag replaces the stream's, which is then only the speed of playback.
  if (!captureKnown) sightings.push(sighting('frameRate', found.rate, 'stream', found.source));
  return { sightings, refusals: [] };
}

interface FoundRate {
  readonly rate: FrameRate;
  readonly source: string;
}

/** High-speed cameras count frames and write the rate, far above what other clips have; there are no times to ask. */
function exactRate(probed: Probed): FoundRate | undefined {
  const rate = probed.format?.format_name === 'cine' ? parseFrameRate(stated(probed).base) : undefined;
  return rate && { rate, source: 'recorded rate' };
}

function rateAndSource(says: StatedRate, times: readonly number[]): FoundRate | undefined {
  const agreed = statedRate(says);
  if (agreed !== undefined) return { rate: agreed, source: 'stream frame rate' };
  const timed = rateFromTimes(times);
  if (timed !== undefined) return { rate: timed, source: 'times of the first frames' };
  const header = times.length > fewestGaps ? undefined : rateOfHeader(says);
  return header === undefined ? undefined : { rate: header, source: 'stream base rate' };
}

const timesWanted = 300;

/** Presentation times, in seconds, of the first packets of the picture stream. */
export async function readTimes(
  media: OpenMedia,
  program: Program,
  probed: Probed,
): Promise<readonly number[]> {
  const stream = pictureStream(probed);
  if (stream === undefined) return [];
  const args =
    `-v error -hide_banner ${probeBounds} -select_streams ${stream.index} -read_intervals %+#${timesWanted} ` +
    '-show_entries packet=pts_time,dts_time -of csv=print_section=0';
  const run = await runProgram({
    program,
    args: [...args.split(' '), mediaArgument(media)],
    media,
    ...limits,
  });
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
