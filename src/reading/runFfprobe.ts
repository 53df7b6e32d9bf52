import type { OpenMedia } from '../programs/openMedia.ts';
import type { Program } from '../programs/program.ts';
import { mediaArgument, runProgram } from '../programs/run.ts';

// Names of demuxers, of both old and new builds; lists that point to other files are not among them.
const formats = 'mov,mp4,m4a,3gp,3g2,mj2,matroska,webm,mpegts,mxf,avi,cine';

// Found on made files: without these bounds, files of a few kilobytes cost gigabytes and minutes.
export const probeBounds =
  `-protocol_whitelist file -format_whitelist ${formats} -max_streams 64 -max_pixels 140000000 ` +
  '-analyzeduration 5M -probesize 10M -threads 1';
const limits = { wallMs: 20_000, stdoutBytes: 16 << 20, stderrBytes: 65_536, memoryKiB: 800_000 };

/** Asks ffprobe what the options say, within limits. */
export function runFfprobe(
  media: OpenMedia,
  program: Program,
  options: string,
): ReturnType<typeof runProgram> {
  const args = `-v error -hide_banner ${probeBounds} ${options}`.split(' ');
  return runProgram({ program, args: [...args, mediaArgument(media)], media, ...limits });
}
