import type { OpenMedia } from '../../programs/openMedia.ts';
import type { Program } from '../../programs/locate.ts';
import { mediaArgument, runProgram } from '../../programs/run.ts';
import { probeBounds } from '../ffprobe.ts';
import { pictureStream } from '../ffprobeJson.ts';
import type { Probed } from '../ffprobeJson.ts';
import { maxFrames } from './motionJpeg.ts';
import type { FramePlace } from './motionJpeg.ts';

/** Where the picture stream's packets lie, for containers whose own tables are not read here. */
export async function readFramePlaces(
  { media, probed }: { readonly media: OpenMedia; readonly probed: Probed },
  program: Program,
): Promise<FramePlace[]> {
  const stream = pictureStream(probed);
  if (stream === undefined) return [];
  const args =
    `-v error -hide_banner ${probeBounds} -select_streams ${stream.index} -read_intervals %+#${maxFrames + 1} ` +
    '-show_entries packet=pts_time,dts_time,duration_time,size,pos -of compact=print_section=0';
  const run = await runProgram({
    program,
    args: [...args.split(' '), mediaArgument(media)],
    media,
    // The file is read whole, as these containers ask for.
    wallMs: 300_000,
    stdoutBytes: 16 << 20,
    stderrBytes: 65_536,
    memoryKiB: 800_000,
  });
  const start = Number(stream.start_time);
  return parsePacketPlaces(run.stdout.toString('latin1'), Number.isFinite(start) ? start : 0);
}

/** Reads ffprobe's compact list of packets. `firstSeconds` is the time of the first frame. */
export function parsePacketPlaces(list: string, firstSeconds: number): FramePlace[] {
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
